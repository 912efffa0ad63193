//! Work that is spread over the cores, all its results at once.

use std::num::NonZero;
use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;
use std::thread;

use crate::in_order::in_order;

/// Cores of this machine.
pub fn cores() -> usize {
    thread::available_parallelism().map_or(1, NonZero::get)
}

/// Does `work` for each of so many indices on all cores; the results in the order of the indices.
pub fn in_parallel<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    on_threads(count, cores(), work)
}

/// The same on so many threads.
pub fn on_threads<T: Send>(count: usize, threads: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let mut results = Vec::with_capacity(count);
    in_order(
        0..count as u64,
        threads,
        &AtomicBool::new(false),
        |index| work(index as usize),
        |_, result| {
            results.push(result);
            ControlFlow::Continue(())
        },
    );
    results
}
