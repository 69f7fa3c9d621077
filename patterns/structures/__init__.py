"""The repair structures, one module each; a structure never imports another."""
