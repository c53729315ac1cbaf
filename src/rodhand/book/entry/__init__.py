"""How entries come in and are kept: by form, table, press, device and copy."""
