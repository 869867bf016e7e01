//! A fault on purpose: an index that nothing bounds, in a library that is built as the controller's is.
#![no_std]
unsafe extern "C" {
    fn rmech_a_panic_can_be_reached() -> !;
}
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    unsafe { rmech_a_panic_can_be_reached() }
}
#[unsafe(no_mangle)]
pub extern "C" fn rmech_fault(index: usize) -> u8 {
    [1, 2, 3][index]
}
