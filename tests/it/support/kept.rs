//! What is costly and the same whoever asks is made once, by the first test that asks.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock};

/// Things made so far, by what they were made from. Tests that want different ones do not wait
/// for each other.
pub(crate) struct Kept<T>(Mutex<BTreeMap<String, Arc<OnceLock<Arc<T>>>>>);

impl<T> Kept<T> {
    /// Nothing yet.
    pub(crate) const fn new() -> Self {
        Self(Mutex::new(BTreeMap::new()))
    }

    /// The one of this key, made if it is the first of it.
    pub(crate) fn get(&self, key: String, make: impl FnOnce() -> T) -> Arc<T> {
        let place = self.0.lock().unwrap().entry(key).or_default().clone();
        place.get_or_init(|| Arc::new(make())).clone()
    }
}
