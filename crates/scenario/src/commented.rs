//! A door file to start from: every key with its default, what it means, its usual range and its source.

use std::fmt::Write;

use tautleaf_physics::parameters::{Fault, LeafForce, Obstacle, Parameters, Telescope};
use tautleaf_physics::{
    FAULT_FIELDS, FIELDS, FORCE_FIELDS, Field, OBSTACLE_FIELDS, Quantity, RATING_FIELDS, Ratings,
    TELESCOPE_FIELDS,
};
use tautleaf_trials::spread::usual_keys;

use crate::cautions::CAUTIONS;
use crate::choices::choices_of;
use crate::limit_keys::{Bound, LIMIT_KEYS};
use crate::parse::{SCHEMA, SECTIONS};
use crate::parse_keys::short;
use crate::presets::presets;
use crate::units::{self, UnitSystem};

const WIDTH: usize = 108;

/// The text of a door file with every key in it, as a comment with its default. It reads as the default door.
pub fn commented() -> String {
    let mut out = String::new();
    let p = Parameters::default();
    out += "# A door file of tautleaf. Lines that begin with #: are keys with their defaults: take away the #: to set them.\n";
    out += "# Quantities are text with their unit, SI or US: \"85 kg\", \"190 lb\", \"0.35 m/s\", \"14 in/s\", \"30 lbf\".\n#\n";
    for caution in CAUTIONS {
        paragraph(&mut out, caution);
    }
    let _ = writeln!(out, "\nschema = {SCHEMA}");
    out += "title = \"My door\"\nshows = \"\"\n\n";
    out += "# Units in which it is shown and saved: \"SI\" or \"US\".\nunits = \"SI\"\n\n";
    out += "# How the leaves hang: \"away\" (one leaf, opens away from the drive), \"towards\" or \"bi-parting\" (two leaves).\n";
    out += "arrangement = \"away\"\n";
    for &name in SECTIONS {
        match name {
            "obstacle" => {
                out += "\n# Something in the way of the closing leaf: take away the #: from the section too.\n#:[obstacle]\n";
                fields(&mut out, name, OBSTACLE_FIELDS, &Obstacle::default());
            }
            "force" => {
                out += "\n# One more force on a leaf: a cord, a weight, a damper, a hand. Repeat the section for each one.\n";
                out += "#   F = constant + stiffness (rest - x) - damping v,  and drag against the motion; positive opens\n";
                out += "#:[[force]]\n# what it is, for reports\n#:name = \"closing weight\"\n";
                out += "# which leaf, 1 or 2; left out: every leaf\n#:leaf = 1\n";
                fields(&mut out, name, FORCE_FIELDS, &LeafForce::default());
            }
            "fault" => {
                out += "\n# Something wrong with rail or roller: \"sag\" between two fixings, \"step\" at a joint, \"bump\" of dirt, \"flat\" on a roller.\n";
                out += "#:[[fault]]\n# what it is, for reports\n#:name = \"joint\"\n#:kind = \"step\"\n";
                out += "# of a flat: which leaf, 1 or 2, and which of its rollers, \"leading\" (at the closing edge) or \"trailing\"\n#:leaf = 1\n#:hanger = \"leading\"\n";
                fields(&mut out, name, FAULT_FIELDS, &Fault::default());
            }
            "telescope" => {
                out += "\n# A slow leaf behind each leaf, drawn along at half its speed by a second belt: take away the #: from the section too.\n#:[telescope]\n";
                fields(&mut out, name, TELESCOPE_FIELDS, &Telescope::default());
            }
            "ratings" => ratings(&mut out),
            "limits" => limits(&mut out),
            "spread" => spread(&mut out),
            _ => {
                let _ = writeln!(out, "\n[{name}]");
                if name == "workbench" {
                    out += "# for belt, tones and hang; no run depends on it\n";
                }
                fields(&mut out, name, FIELDS, &p);
                for choice in choices_of(name) {
                    let words: Vec<String> = choice.words.iter().map(|word| format!("\"{word}\"")).collect();
                    paragraph(&mut out, &format!("{}: {}", choice.says, words.join(" or ")));
                    let word = choice.words.get((choice.get)(&p)).copied().unwrap_or_default();
                    let _ = writeln!(out, "#:{} = \"{word}\"", short(choice.key));
                }
            }
        }
    }
    out
}

fn fields<T>(out: &mut String, section: &str, fields: &'static [Field<T>], default: &T) {
    for field in fields.iter().filter(|field| field.key.split('.').next() == Some(section)) {
        let show = |value| units::show(field.quantity, value, UnitSystem::Si);
        let (low, high) = field.usual;
        let usual = if low == high { show(low) } else { format!("{} to {}", show(low), show(high)) };
        paragraph(out, &format!("{}; usual: {usual}; source: {}", field.says, field.source));
        let key = short(field.key);
        let _ = match (field.get)(default) {
            Some(value) if field.quantity == Quantity::Number => writeln!(out, "#:{key} = {value}"),
            Some(value) => {
                writeln!(out, "#:{key} = \"{}\"", units::format(field.quantity, value, UnitSystem::Si))
            }
            None => writeln!(out, "#  {key} = {}", example(field.quantity)),
        };
    }
}

/// A value in the right unit, for a key that is left out by default.
fn example(quantity: Quantity) -> String {
    match quantity {
        Quantity::Number => "...".to_owned(),
        _ => format!("\"... {}\"", units::unit(quantity, UnitSystem::Si)),
    }
}

fn ratings(out: &mut String) {
    *out += "\n[ratings]\n# Drive and belt by their names, in a catalogue or in words of your own:\n";
    *out += "#  drive = \"...\"\n#  belt = \"...\"\n";
    paragraph(
        out,
        "What their data sheets allow. Each is a limit that every command judges and that fails the door; where a limit of \
         [limits] is on the same figure, both count.",
    );
    fields(out, "ratings", RATING_FIELDS, &Ratings::default());
    paragraph(
        out,
        "insulation class of the winding (IEC 60085); motor.insulation follows where it is left out: \"A\" or \"E\" or \"B\" \
         or \"F\" or \"H\"",
    );
    *out += "#  insulation = \"...\"\n";
}

fn spread(out: &mut String) {
    *out += "\n# How a number spreads from door to door, for `tautleaf spread`. Repeat the section for each one.\n";
    paragraph(
        out,
        "shape: \"uniform\" from .. to; \"triangular\" from .. peak .. to; \"normal\" with mean and deviation; \"fixed\" for what \
         is known. A peak or mean that is left out is the door's own value; least and most cut off what lies beyond.",
    );
    let by_default: Vec<String> = usual_keys().map(str::to_owned).collect();
    paragraph(out, &format!("These spread by default: {}.", by_default.join(", ")));
    *out += "#:[[spread]]\n#:key = \"leaf.mass\"\n#:shape = \"normal\"\n#:deviation = \"2 kg\"\n";
}

fn limits(out: &mut String) {
    *out += "\n[limits]\n# Published limits that are filled in:\n";
    for preset in presets() {
        paragraph(
            out,
            &format!("  \"{}\": {} ({}): {}", preset.name, preset.title, preset.standing(), preset.what_for),
        );
    }
    *out += "presets = []\n";
    *out += "# fraction of the allowed value within which a figure counts as close\n#:close_margin = 0.1\n";
    *out += "# clear openings at which the force test is made; left out: 50, 300 and 500 mm, the upper end of each band,\n# and where the leaf closes fastest in each\n#:gaps = [\"50 mm\", \"300 mm\", \"500 mm\"]\n";
    paragraph(
        out,
        "Your own limits; each takes the place of the preset's of the same name. With { value = \"...\", judge = \
         \"advisory\" } going over it does not fail the door. Forces may differ from gap to gap: \
         impact_force_max = [{ to = \"200 mm\", max = \"400 N\" }, { max = \"700 N\" }]",
    );
    for limit in LIMIT_KEYS.iter() {
        let bound = if limit.bound == Bound::Most { "at most" } else { "at least" };
        paragraph(out, &format!("{bound}: {}", limit.figure.says()));
        let _ = writeln!(out, "#  {} = {}", limit.key, example(limit.quantity()));
    }
}

/// Text as comment lines of limited width.
pub(crate) fn paragraph(out: &mut String, text: &str) {
    let mut line = String::from("#");
    let indent = if text.starts_with("  ") { "  " } else { "" };
    line += indent;
    for word in text.split_whitespace() {
        if line.len() + 1 + word.len() > WIDTH {
            let _ = writeln!(out, "{line}");
            line = format!("#{indent}  ");
        }
        let _ = write!(line, " {word}");
    }
    let _ = writeln!(out, "{line}");
}
