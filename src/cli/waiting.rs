//! How far a long comparison is, for somebody who waits at a terminal.

use std::io::{self, Write};
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// Nobody needs telling before this has passed, nor more often.
const PATIENCE: Duration = Duration::from_millis(500);

/// A line on the terminal that is written over, and gone at the end.
pub(super) struct Waiting {
    /// When it was written last; nothing where nobody waits.
    last: Option<Mutex<Told>>,
}

struct Told {
    when: Instant,
    wrote: bool,
}

impl Waiting {
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    pub(super) fn new(at_terminal: bool) -> Self {
        let begun = || Told {
            when: Instant::now(),
            wrote: false,
        };
        Waiting {
            last: at_terminal.then(|| Mutex::new(begun())),
        }
    }

    /// Called from any thread; one that finds another writing has nothing to add.
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    pub(super) fn tell(&self, done: usize, all: usize) {
        let Some(Ok(mut told)) = self.last.as_ref().map(Mutex::try_lock) else {
            return;
        };
        if told.when.elapsed() >= PATIENCE {
            // A terminal that is gone needs no progress.
            let _ = write!(io::stderr(), "\r{done} of {all} runs");
            told.when = Instant::now();
            told.wrote = true;
        }
    }

    /// Takes the line away.
    #[expect(clippy::disallowed_methods, reason = "this is the door")]
    pub(super) fn done(&self) {
        if let Some(Ok(told)) = self.last.as_ref().map(Mutex::try_lock)
            && told.wrote
        {
            let _ = write!(io::stderr(), "\r{:40}\r", "");
        }
    }
}
