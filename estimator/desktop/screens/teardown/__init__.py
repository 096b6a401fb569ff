"""The Teardown page: components opened one by one, and what each answer moves."""
