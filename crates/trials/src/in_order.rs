//! Many trials on several threads, their results in the order of their indices.

use std::ops::{ControlFlow, Range};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::thread;

/// Trials that are worked on at a time: results of one block are held at most, however many trials there are.
pub const BLOCK: u64 = 256;

/// Works on every index, on so many threads, and hands the results over in the order of the indices.
///
/// What `take` gets does not depend on the number of threads. It ends early where `stop` is set or `take` breaks off;
/// what has been handed over by then is complete up to the index that is returned, which is the first one missing.
/// Threads are spawned anew for each block; with one, everything happens on this one.
pub fn in_order<T: Send>(
    indices: Range<u64>,
    threads: usize,
    stop: &AtomicBool,
    work: impl Fn(u64) -> T + Sync,
    mut take: impl FnMut(u64, T) -> ControlFlow<()>,
) -> u64 {
    let mut from = indices.start;
    while from < indices.end {
        let to = indices.end.min(from + BLOCK);
        for (n, result) in block(from..to, threads, stop, &work).into_iter().enumerate() {
            let index = from + n as u64;
            let Some(result) = result else { return index };
            if take(index, result).is_break() {
                return index + 1;
            }
        }
        from = to;
    }
    from
}

/// The results of one block; those after a stop are missing.
fn block<T: Send>(
    indices: Range<u64>,
    threads: usize,
    stop: &AtomicBool,
    work: &(impl Fn(u64) -> T + Sync),
) -> Vec<Option<T>> {
    let next = AtomicU64::new(indices.start);
    let some = || {
        let mut done = Vec::new();
        while !stop.load(Ordering::Relaxed) {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= indices.end {
                break;
            }
            done.push((index, work(index)));
        }
        done
    };
    let results_wanted = (indices.end - indices.start) as usize;
    let mut results: Vec<Option<T>> = indices.clone().map(|_| None).collect();
    let mut keep = |done: Vec<(u64, T)>| {
        for (index, result) in done {
            results[(index - indices.start) as usize] = Some(result);
        }
    };
    if threads <= 1 {
        keep(some());
        return results;
    }
    thread::scope(|scope| {
        // no more than there is work for, and as many as the machine gives
        let most = threads.min(results_wanted);
        let spawn = |_| thread::Builder::new().spawn_scoped(scope, some).ok();
        let others: Vec<_> = (1..most).map_while(spawn).collect();
        keep(some());
        for other in others {
            match other.join() {
                Ok(done) => keep(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
    });
    results
}

#[cfg(test)]
mod tests {
    use super::*;

    fn squares(threads: usize, indices: Range<u64>) -> Vec<(u64, u64)> {
        let mut taken = Vec::new();
        let end = in_order(
            indices.clone(),
            threads,
            &AtomicBool::new(false),
            |index| index * index,
            |index, square| {
                taken.push((index, square));
                ControlFlow::Continue(())
            },
        );
        assert_eq!(end, indices.end);
        taken
    }

    #[test]
    fn results_come_in_order_whatever_the_number_of_threads() {
        let alone = squares(1, 10..1500);
        assert!(alone.iter().zip(10..).all(|(&(index, square), n)| (index, square) == (n, n * n)));
        assert_eq!(alone.len(), 1490);
        assert_eq!(squares(3, 10..1500), alone);
        assert_eq!(squares(2, 5..5), []);
    }

    #[test]
    fn a_stop_keeps_what_is_done_without_a_hole() {
        let stop = AtomicBool::new(false);
        let mut taken = Vec::new();
        let end = in_order(
            0..10_000,
            2,
            &stop,
            |index| {
                if index == 700 {
                    stop.store(true, Ordering::Relaxed);
                }
                // however the threads are scheduled, none is further than one when it is stopped
                while index > 700 && !stop.load(Ordering::Relaxed) {
                    thread::yield_now();
                }
                index
            },
            |index, _| {
                taken.push(index);
                ControlFlow::Continue(())
            },
        );
        assert_eq!(taken, (0..end).collect::<Vec<_>>());
        // the block before is done, and of its own at least nothing behind the next ones
        assert!((512..=702).contains(&end), "{end}");
    }

    #[test]
    fn who_takes_can_break_off() {
        let end = in_order(
            0..100,
            2,
            &AtomicBool::new(false),
            |index| index,
            |index, _| {
                if index == 41 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
            },
        );
        assert_eq!(end, 42);
    }
}
