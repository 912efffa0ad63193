//! The program's numbers against numbers that nobody here wrote. Sources, tolerances and reasons stand in
//! `src/outside`; `cargo run --release -p tautleaf-tests --bin outside-checks` prints them all.

use tautleaf_tests::outside::{
    GROUPS, belts, edges, gears, hanging, hold, impact, measured, motors, moves, presets, resistance, ring,
};

#[test]
fn a_published_linear_drive_has_its_take_up_tone_and_tensions() {
    hold(Ok(belts::guide_drive()));
}

#[test]
fn allowable_tensions_of_published_tables_are_0_4_percent_of_stiffness() {
    hold(Ok(belts::allowable_tensions()));
}

#[test]
fn belts_round_two_pulleys_have_their_published_lengths() {
    hold(Ok(belts::lengths()));
}

#[test]
fn a_steady_pull_shares_itself_between_the_strands_by_their_lengths() {
    hold(Ok(belts::strands()));
}

#[test]
fn a_published_printer_drive_is_a_ring_of_ours() {
    hold(Ok(ring::printer_drive()));
}

#[test]
fn a_published_traction_drive_has_its_gain_and_pole() {
    hold(Ok(motors::traction_drive()));
}

#[test]
fn a_published_motor_comes_up_to_speed_as_printed() {
    hold(Ok(motors::motor_step()));
}

#[test]
fn a_copper_winding_at_105_c_has_1_308_times_its_resistance_at_25_c() {
    hold(Ok(motors::copper()));
}

#[test]
fn friction_at_creeping_speed_follows_the_published_curve() {
    hold(Ok(resistance::steady_curve()));
}

#[test]
fn three_tonnes_on_wheels_resist_as_the_handbook_says() {
    hold(Ok(resistance::wheel()));
}

#[test]
fn worms_have_their_printed_efficiency_in_a_running_door() {
    hold(Ok(gears::worms()));
}

#[test]
fn a_gear_driven_backwards_lets_through_two_minus_one_over_its_efficiency() {
    hold(Ok(gears::backwards()));
}

#[test]
fn a_move_by_thirds_takes_the_least_rms_force_of_all_trapezoids() {
    hold(Ok(moves::least_rms_force()));
}

#[test]
fn a_leaf_hits_a_tester_as_a_mass_on_a_spring() {
    hold(Ok(impact::forces()));
}

#[test]
fn acceleration_shifts_load_to_the_trailing_hanger() {
    hold(Ok(hanging::loads_and_air()));
}

#[test]
fn published_limits_are_worked_out_as_printed() {
    hold(Ok(presets::limits()));
}

#[test]
fn a_measured_axis_has_its_published_mass_and_friction() {
    hold(measured::emps::axis());
}

#[test]
fn an_edge_that_ends_strikes_as_two_springs() {
    hold(Ok(edges::forces()));
}

#[test]
fn a_measured_pair_of_masses_has_its_resonances() {
    hold(measured::two_mass::resonance());
}

/// The table leaves out no group that a test above holds.
#[test]
fn every_group_is_in_the_table() {
    assert_eq!(GROUPS.len(), 19);
}
