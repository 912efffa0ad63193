//! Moved ten thousand times, a slider leaves no memory behind.

mod steps;

use steps::*;
use tautleaf_app::action::Action;

const MOVES: usize = 10_000;

/// Memory of this process that is in use, bytes (Linux only).
#[cfg(target_os = "linux")]
fn resident() -> usize {
    let text = std::fs::read_to_string("/proc/self/statm").expect("Linux says");
    let pages: usize = text.split_whitespace().nth(1).and_then(|pages| pages.parse().ok()).expect("a number");
    4096 * pages
}

/// Each move runs the door anew and draws the frame. What is undone is one step, so the history does not grow either.
#[cfg(target_os = "linux")]
#[test]
#[ignore = "a quarter of an hour in a debug build: cargo test --release -p tautleaf-app --test endurance -- --ignored"]
fn ten_thousand_moves_of_a_slider_leave_the_memory_as_it_was() {
    let mut test = window();
    let turn = |test: &mut Test, count: usize| {
        for n in 0..count {
            let kg = 90.0 + (n % 400) as f64 * 0.1;
            test.state().send(Action::Set { key: "leaf.mass", value: Some(kg), dragging: true });
            test.step();
        }
        test.state().send(Action::EndDrag);
        settle(test);
    };
    turn(&mut test, 1000);
    let before = resident();
    turn(&mut test, MOVES);
    let after = resident();
    println!("{} kB before, {} kB after {MOVES} moves", before / 1024, after / 1024);
    assert!(after < before + before / 10, "{before} bytes, then {after}");
}
