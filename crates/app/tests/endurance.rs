//! Moved ten thousand times, a slider leaves no memory behind.

mod steps;

use steps::*;
use tautleaf_app::action::Action;
use tautleaf_physics::number;

const MOVES: usize = 10_000;
const PARTS: usize = 10;

/// Memory of this process that is in use, bytes (Linux only).
#[cfg(target_os = "linux")]
fn resident() -> usize {
    let text = std::fs::read_to_string("/proc/self/statm").expect("Linux says");
    let pages: usize = text.split_whitespace().nth(1).and_then(|pages| pages.parse().ok()).expect("a number");
    4096 * pages
}

/// Each move runs the door anew and draws the frame. A drag is one step of the history, so that does not grow either.
#[cfg(target_os = "linux")]
#[test]
#[ignore = "two minutes in a release build, a quarter of an hour without: cargo test --release -p tautleaf-app --test endurance -- --ignored"]
fn ten_thousand_moves_of_a_slider_leave_the_memory_as_it_was() {
    let mut test = window();
    let turn = |test: &mut Test| {
        for n in 0..MOVES / PARTS {
            let kg = 90.0 + (n % 400) as f64 * 0.1;
            test.state().send(Action::Set {
                number: number("leaf.mass").expect("in the table"),
                value: Some(kg),
                dragging: true,
            });
            test.step();
        }
        resident()
    };
    // Caches fill in the first moves; what leaks grows in all of them.
    let seen: Vec<usize> = (0..PARTS).map(|_| turn(&mut test)).collect();
    println!(
        "after every {} moves: {:?} kB",
        MOVES / PARTS,
        seen.iter().map(|b| b / 1024).collect::<Vec<_>>()
    );
    // What is in use goes up and down with the point at which it is looked at; a leak lifts the least of it too.
    let least = |part: &[usize]| part.iter().copied().min().expect("parts");
    let (before, after) = (least(&seen[..PARTS / 2]), least(&seen[PARTS / 2..]));
    assert!(after < before + before / 20, "{before} bytes at least in the first half, {after} in the second");
}
