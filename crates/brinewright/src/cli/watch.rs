//! How far a long command is, on standard error where somebody looks at it.

use std::io::{IsTerminal, Write};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use proof::Progress;

use crate::task::progress::in_words;

/// Between two looks.
const LOOK: Duration = Duration::from_millis(200);

/// Does the work while somebody at a terminal reads how far it is; nothing is written to a pipe.
pub(crate) fn watched<T>(work: impl FnOnce(&Progress) -> T) -> T {
    let progress = Progress::default();
    if !std::io::stderr().is_terminal() {
        return work(&progress);
    }
    let (done, finished) = channel::<()>();
    std::thread::scope(|scope| {
        let watched = &progress;
        scope.spawn(move || {
            let mut told = false;
            while finished.recv_timeout(LOOK) == Err(RecvTimeoutError::Timeout) {
                told = true;
                tell(&format!("\r{}\u{1b}[K", in_words(&watched.reached())));
            }
            if told {
                // The line is taken away again: what follows is the answer.
                tell("\r\u{1b}[K");
            }
        });
        let answer = work(&progress);
        drop(done);
        answer
    })
}

fn tell(text: &str) {
    let mut err = std::io::stderr().lock();
    // Whoever can't be told misses nothing but this.
    let _ = err.write_all(text.as_bytes()).and_then(|()| err.flush());
}
