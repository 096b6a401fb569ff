"""Price lists of suppliers: looked at, taken in, taken back; items and the parts they make up."""
