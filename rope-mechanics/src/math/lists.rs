//! Lists on the stack that have room by construction.

use arrayvec::ArrayVec;

/// Adds to a list that has room: its callers say why. A push that could panic would stand in a controller's build.
pub(crate) fn add<T, const N: usize>(list: &mut ArrayVec<T, N>, item: T) {
    let added = list.try_push(item);
    debug_assert!(added.is_ok(), "the list has room for {N} only");
}

/// A list of what there is room for by construction.
pub(crate) fn list<T, const N: usize>(items: impl IntoIterator<Item = T>) -> ArrayVec<T, N> {
    let mut list = ArrayVec::new();
    for item in items {
        add(&mut list, item);
    }
    list
}
