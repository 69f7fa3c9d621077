"""Two versions of the program answer the same wishes; every difference is listed.

    python -m tests.differential

drafts and examines the demonstration's books and some thousand drawn ones with the commit that
`expected.toml` names (`--before REV`: another) and with the working tree, each in processes of its own, and compares pattern.json, drawings, warnings,
remarks, refusals and findings. It ends with 0 when every difference is named in `expected.toml`.

Begin reading in `__main__`; `worker` is what runs inside either tree and the only file that names
anything of the program's inside. pytest does not collect this package: `tests/test_differential.py`
tries it on two toy trees.
"""
