//! Work dealt out to threads, piece by piece.

use crate::threads::joined;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Does every piece once, on so many threads, each with tools of its own; what comes of them, in their order. A thread
/// takes the next piece when it is done with its last, so that none waits for a long one. A piece mustn't hang on those
/// that were done before with the same tools.
pub(super) fn dealt<S, T: Send>(
    threads: usize,
    pieces: usize,
    tools: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, usize) -> T + Sync,
) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let hand = || {
        let (mut own, mut done) = (tools(), Vec::new());
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= pieces {
                return done;
            }
            done.push((at, work(&mut own, at)));
        }
    };
    let mut all = thread::scope(|scope| {
        let handles: Vec<_> = (1..threads.min(pieces)).map(|_| scope.spawn(hand)).collect();
        let mut all = hand();
        for handle in handles {
            all.extend(joined(handle));
        }
        all
    });
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, own)| own).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every piece once and in its order, on any number of threads.
    #[test]
    fn pieces_keep_their_order() {
        for threads in [0, 1, 2, 5, 200] {
            let squares = dealt(threads, 100, || (), |(), at| at * at);
            assert!(squares.into_iter().eq((0..100).map(|at| at * at)), "{threads}");
        }
        assert!(dealt(2, 0, || (), |(), at| at).is_empty());
    }
}
