//! What is wrong with a table, row by row: all of it is shown, not the first row alone.

use std::fmt::Display;

/// Faults found so far. The test fails when this goes out of scope with any.
#[derive(Default)]
pub struct Faults(Vec<String>);

impl Faults {
    /// Notes `what` unless the row is as it must be.
    pub fn unless(&mut self, well: bool, what: impl Display) {
        if !well {
            self.0.push(what.to_string());
        }
    }
}

impl Drop for Faults {
    fn drop(&mut self) {
        let unwinding = std::thread::panicking();
        assert!(
            self.0.is_empty() || unwinding,
            "{} faults:\n{}",
            self.0.len(),
            self.0.join("\n")
        );
    }
}

#[test]
#[should_panic(expected = "2 faults:\nfirst\nsecond")]
fn every_fault_is_shown() {
    let mut faults = Faults::default();
    faults.unless(false, "first");
    faults.unless(true, "nothing");
    faults.unless(false, "second");
}
