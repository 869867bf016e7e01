//! The library for a controller: no standard library, no heap, no C library.
//!
//! Nothing here panics. That is proved when a program is linked: a panic would call a function that does not exist.

use core::panic::PanicInfo;

unsafe extern "C" {
    /// Defined nowhere: a program that could reach a panic does not link.
    fn rmech_a_panic_can_be_reached() -> !;
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    // SAFETY: never linked.
    unsafe { rmech_a_panic_can_be_reached() }
}
