//! Work that is spread over the cores.

use std::num::NonZero;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Does `work` for each index. In which order and on how many cores changes nothing in the results.
pub fn in_parallel<T: Send>(indices: &[usize], work: impl Fn(usize) -> T + Sync) -> Vec<(usize, T)> {
    let workers = thread::available_parallelism().map_or(1, NonZero::get).min(indices.len());
    if workers <= 1 {
        return indices.iter().map(|&index| (index, work(index))).collect();
    }
    let (next, done) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some(&index) = indices.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let result = work(index);
                    done.lock().unwrap_or_else(|poisoned| poisoned.into_inner()).push((index, result));
                }
            });
        }
    });
    done.into_inner().unwrap_or_else(|poisoned| poisoned.into_inner())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_index_is_worked_on_once() {
        let indices: Vec<usize> = (0..100).collect();
        let mut done = in_parallel(&indices, |index| index * index);
        done.sort_unstable();
        assert_eq!(done, indices.iter().map(|&index| (index, index * index)).collect::<Vec<_>>());
    }
}
