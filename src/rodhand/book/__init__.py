"""One function per use case: read the record, call the mechanics, give back what is shown."""
