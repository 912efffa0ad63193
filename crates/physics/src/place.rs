//! Where in a door a number stands.

/// Where in a door a number stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Place {
    /// Dotted key, as in a door file: `leaf.mass`; in a list that of its section: `fault.height` of every fault.
    pub key: &'static str,
    /// Which entry of the list of forces or faults, from 0; `None`: it stands in no list.
    pub entry: Option<usize>,
}

impl Place {
    /// A place that is in no list.
    pub const fn of(key: &'static str) -> Self {
        Self { key, entry: None }
    }

    /// A place in an entry of a list, counted from 0.
    pub const fn in_entry(key: &'static str, entry: usize) -> Self {
        Self { key, entry: Some(entry) }
    }
}

/// Its key by which [`number`](crate::number) finds it: `leaf.mass`, `force.2.constant` for the second force.
impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.entry, self.key.split_once('.')) {
            (Some(entry), Some((section, name))) => write!(f, "{section}.{}.{name}", entry + 1),
            _ => f.write_str(self.key),
        }
    }
}
