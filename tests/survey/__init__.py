"""The survey: tables of every kind, results that do not depend on how they were made."""
