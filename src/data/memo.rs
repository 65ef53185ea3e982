//! What was worked out from the tables once and need not be again.

use std::hash::Hash;
use std::sync::{PoisonError, RwLock};

use rustc_hash::FxHashMap;

use super::Store;

/// Answers by question, shared between threads.
///
/// A route that is run ten thousand times asks the same few dozen questions of the tables each time. The answers must
/// depend on the question alone, so that remembering them changes nothing but the time.
pub struct Memo<K, V>(RwLock<FxHashMap<K, V>>);

impl<K: Eq + Hash, V: Clone> Memo<K, V> {
    /// More questions than any route has; then everything is forgotten, so that no input fills the memory.
    const MOST: usize = 4096;

    /// The answer, worked out if it is asked for the first time.
    pub fn recall(&self, question: K, work_out: impl FnOnce(&K) -> V) -> V {
        // A thread that panicked between two whole answers left nothing half done.
        let known = self.0.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(answer) = known.get(&question) {
            return answer.clone();
        }
        drop(known);
        let answer = work_out(&question);
        let mut known = self.0.write().unwrap_or_else(PoisonError::into_inner);
        if known.len() >= Self::MOST {
            known.clear();
        }
        known.insert(question, answer.clone());
        answer
    }
}

/// Answers that depend on the user's own data as well.
pub type StoreMemo<K, V> = Memo<(u64, K), V>;

impl<K: Eq + Hash, V: Clone> StoreMemo<K, V> {
    /// The answer by the data of a store, worked out if it is asked for the first time. It must not depend on what is
    /// drawn for those data: it holds for every sample.
    pub fn recall_by(&self, store: &Store, question: K, work_out: impl FnOnce(&K) -> V) -> V {
        self.recall((store.number(), question), |(_, question)| {
            work_out(question)
        })
    }
}

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        Memo(RwLock::default())
    }
}
