//! Work side by side. Owns: joining threads, whose panics go on where they are joined. Doesn't own: how work is shared out.

use std::thread::ScopedJoinHandle;

/// What a thread made.
pub(crate) fn joined<T>(thread: ScopedJoinHandle<'_, T>) -> T {
    thread
        .join()
        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}

/// Does two things, each on a core.
pub(crate) fn side_by_side<T: Send>(first: impl FnOnce() -> T, second: impl FnOnce() -> T + Send) -> [T; 2] {
    std::thread::scope(|scope| {
        let second = scope.spawn(second);
        [first(), joined(second)]
    })
}
