//! The whole operation: what bad input does. The example does the rest.

use rope_checks::{assert_same_bits, numbers_from_c};

#[test]
fn bad_sites_are_refused_and_nothing_is_written() {
    let c = numbers_from_c("operation.c");
    assert_same_bits!(c, "done", 1.0);
}
