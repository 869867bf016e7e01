//! No two enumerators of a kind can be swapped without a test that fails.
