//! The course of a run as CSV, one row a sample, SI, every digit: the door at the end of each tick, but for `contact_force_n`,
//! which is the greatest within the tick.

use std::io::Write;

use tautleaf_physics::Sample;

use crate::judged::Judged;
use crate::words;

/// Why the table was not written.
pub type WriteError = csv::Error;

/// Writes every sample. Columns of a leaf or span that the door has not are left out.
///
/// Numbers are the shortest decimals that read back as the same number.
///
/// # Errors
/// What the writer says.
pub fn write(judged: &Judged<'_>, out: impl Write) -> Result<(), WriteError> {
    let (leaves, spans) = (judged.door.leaves(), judged.spans());
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(columns(leaves, spans))?;
    for sample in &judged.run.samples {
        writer.write_record(cells(sample, leaves, spans))?;
    }
    writer.flush()?;
    Ok(())
}

/// Names of the columns.
pub fn columns(leaves: usize, spans: usize) -> Vec<String> {
    let mut names: Vec<String> =
        ["t_s", "clear_opening_m", "speed_m_per_s", "leaf_1_position_m"].map(str::to_owned).to_vec();
    for leaf in 2..=leaves {
        names.extend([format!("leaf_{leaf}_position_m"), format!("leaf_{leaf}_speed_m_per_s")]);
    }
    names.extend(
        ["wanted_speed_m_per_s", "energy_leaf_j", "energy_leaves_j", "energy_coupled_j"].map(str::to_owned),
    );
    names.extend((1..=spans).map(|span| format!("tension_{span}_n")));
    for leaf in 1..=leaves {
        names.extend([format!("hanger_leading_{leaf}_n"), format!("hanger_trailing_{leaf}_n")]);
    }
    names.extend(
        ["drive_position_m", "drive_speed_m_per_s", "current_a", "voltage_v", "contact_force_n", "state"]
            .map(str::to_owned),
    );
    names
}

fn cells(sample: &Sample, leaves: usize, spans: usize) -> Vec<String> {
    let mut numbers =
        vec![sample.t_s, sample.clear_opening_m, sample.leaf_speed_m_per_s[0], sample.leaf_position_m[0]];
    for leaf in 1..leaves {
        numbers.extend([sample.leaf_position_m[leaf], sample.leaf_speed_m_per_s[leaf]]);
    }
    numbers.extend([
        sample.wanted_speed_m_per_s,
        sample.energy_leaf_j,
        sample.energy_leaves_j,
        sample.energy_coupled_j,
    ]);
    numbers.extend(&sample.tension_n[..spans]);
    numbers.extend(sample.hanger_load_n[..leaves].iter().flatten());
    numbers.extend([
        sample.drive_position_m,
        sample.drive_speed_m_per_s,
        sample.current_a,
        sample.voltage_v,
        sample.contact_force_n,
    ]);
    // {:?} is the shortest text that reads back the same, with an exponent where that is shorter
    let mut cells: Vec<String> = numbers.iter().map(|number| format!("{:?}", number + 0.0)).collect();
    cells.push(words::state(sample.state).to_owned());
    cells
}
