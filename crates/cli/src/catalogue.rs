//! `tautleaf catalogue`: the drives and belts that there are.

use std::borrow::Cow;
use std::path::Path;

use tautleaf_report::{CatalogueReport, Palette};
use tautleaf_trials::choose::Catalogue;

use crate::args::CatalogueArgs;
use crate::ended::Ended;
use crate::failure::Failure;
use crate::input::{self, is_dash};
use crate::new::fresh;
use crate::output::Output;

pub(crate) fn run(args: &CatalogueArgs, output: &mut Output) -> Result<Ended, Failure> {
    if let Some(path) = &args.new {
        let text = tautleaf_scenario::commented_drive();
        if is_dash(path) {
            output.data(text.as_bytes())?;
        } else {
            fresh(path, &text, args.force, output)?;
        }
        return Ok(Ended::Well);
    }
    let catalogue = match &args.file {
        Some(file) => Cow::Owned(input::catalogue(file)?),
        None => read(args.catalogue.as_deref())?,
    };
    let report = CatalogueReport { catalogue: &catalogue, in_full: args.file.is_some() };
    if args.json {
        output.data((report.json()? + "\n").as_bytes())?;
    } else {
        output.answer(&report.text(&Palette::TERMINAL))?;
    }
    Ok(Ended::Well)
}

/// The catalogue of the program, with the files of a folder if there is one.
pub(crate) fn read(folder: Option<&Path>) -> Result<Cow<'static, Catalogue>, Failure> {
    match folder {
        None => Ok(Cow::Borrowed(tautleaf_scenario::catalogue())),
        Some(folder) => Ok(Cow::Owned(tautleaf_scenario::with_folder(folder)?)),
    }
}

/// The one of a list that has this name, or the only one with a part of it, whatever its capitals.
pub(crate) fn named<'l, T>(
    what: &'static str,
    list: &'l [T],
    name_of: impl Fn(&T) -> &str,
    name: &str,
) -> Result<&'l T, Failure> {
    if let Some(exact) = list.iter().find(|one| name_of(one) == name) {
        return Ok(exact);
    }
    let wanted = name.to_lowercase();
    let like: Vec<&T> = list.iter().filter(|one| name_of(one).to_lowercase().contains(&wanted)).collect();
    if let [only] = like[..] {
        return Ok(only);
    }
    let several = !like.is_empty() && !wanted.is_empty();
    let names = |list: &mut dyn Iterator<Item = &str>| {
        list.map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")
    };
    let known = if several {
        format!("write one of {}", names(&mut like.iter().map(|one| name_of(one))))
    } else {
        format!("there are {}", names(&mut list.iter().map(&name_of)))
    };
    Err(Failure::NotOne { what, name: name.to_owned(), several, known })
}
