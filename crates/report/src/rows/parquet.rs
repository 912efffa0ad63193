//! Rows as Parquet: plain columns without compression, where they are from in the file's own key-value metadata.

use std::io::Write;
use std::sync::Arc;

use parquet::basic::{ConvertedType, Repetition, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{Type, TypePtr};
use tautleaf_trials::Row;

use super::columns::{Columns, ended};
use super::csv::RowsError;
use super::provenance::Provenance;
use crate::{PROGRAM, VERSION};

/// Rows of one row group: so many are held, however many there are.
const GROUP: usize = 4096;

/// Rows being written, as they come.
pub struct ParquetRows<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    columns: Columns,
    held: Vec<Row>,
}

impl<W: Write + Send> ParquetRows<W> {
    /// Begins a file.
    ///
    /// # Errors
    /// What the writer says.
    pub fn begin(out: W, from: &Provenance, columns: Columns) -> Result<Self, RowsError> {
        let mut about = vec![
            KeyValue::new(PROGRAM.to_owned(), serde_json::to_string(from)?),
            KeyValue::new("version".to_owned(), from.version.clone()),
        ];
        about.extend(from.seed.map(|seed| KeyValue::new("seed".to_owned(), seed.to_string())));
        let properties = WriterProperties::builder()
            .set_created_by(format!("{PROGRAM} {VERSION}"))
            .set_key_value_metadata(Some(about))
            .set_dictionary_enabled(false)
            .build();
        let writer = SerializedFileWriter::new(out, schema(&columns)?, Arc::new(properties))?;
        Ok(Self { writer, columns, held: Vec::new() })
    }

    /// One more row.
    ///
    /// # Errors
    /// What the writer says.
    pub fn row(&mut self, row: &Row) -> Result<(), RowsError> {
        self.held.push(row.clone());
        if self.held.len() >= GROUP { self.group() } else { Ok(()) }
    }

    /// Ends the file. Without it, it cannot be read.
    ///
    /// # Errors
    /// What the writer says.
    pub fn finish(mut self) -> Result<(), RowsError> {
        if !self.held.is_empty() {
            self.group()?;
        }
        self.writer.close()?;
        Ok(())
    }

    /// Writes the rows that are held as one group.
    fn group(&mut self) -> Result<(), RowsError> {
        let rows = std::mem::take(&mut self.held);
        let mut group = self.writer.next_row_group()?;
        column::<Int64Type, _>(&mut group, rows.iter().map(|row| Some(row.index as i64)))?;
        let words = rows.iter().map(|row| Some(ByteArray::from(ended(row.trial.ended))));
        column::<ByteArrayType, _>(&mut group, words)?;
        for n in 0..self.columns.inputs.len() {
            column::<DoubleType, _>(&mut group, rows.iter().map(|row| Some(row.values[n])))?;
        }
        for &figure in &self.columns.figures {
            column::<DoubleType, _>(&mut group, rows.iter().map(|row| row.trial.get(figure)))?;
        }
        for n in 0..self.columns.limits.len() {
            column::<BoolType, _>(&mut group, rows.iter().map(|row| row.trial.judged[n].kept))?;
            column::<DoubleType, _>(&mut group, rows.iter().map(|row| row.trial.judged[n].margin))?;
        }
        group.close()?;
        Ok(())
    }
}

/// Names and types. What a trial may not give is optional; index, ending and inputs it has.
fn schema(columns: &Columns) -> Result<TypePtr, ParquetError> {
    let inputs = columns.inputs.len();
    let field = |(n, name): (usize, String)| {
        let physical = match n {
            0 => Physical::INT64,
            1 => Physical::BYTE_ARRAY,
            _ if name.ends_with(".kept") => Physical::BOOLEAN,
            _ => Physical::DOUBLE,
        };
        let always = n < 2 + inputs;
        let repetition = if always { Repetition::REQUIRED } else { Repetition::OPTIONAL };
        let converted = if n == 1 { ConvertedType::UTF8 } else { ConvertedType::NONE };
        let built = Type::primitive_type_builder(&name, physical)
            .with_repetition(repetition)
            .with_converted_type(converted)
            .build();
        built.map(Arc::new)
    };
    let fields = columns.names().into_iter().enumerate().map(field).collect::<Result<Vec<_>, _>>()?;
    Ok(Arc::new(Type::group_type_builder("rows").with_fields(fields).build()?))
}

/// The next column of a group; required columns are given nothing but values.
fn column<T: DataType, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    cells: impl Iterator<Item = Option<T::T>>,
) -> Result<(), ParquetError> {
    let Some(mut column) = group.next_column()? else {
        return Err(ParquetError::General("more columns than the schema has".to_owned()));
    };
    let (mut values, mut levels) = (Vec::new(), Vec::new());
    for cell in cells {
        levels.push(i16::from(cell.is_some()));
        values.extend(cell);
    }
    column.typed::<T>().write_batch(&values, Some(&levels), None)?;
    column.close()
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::AtomicBool;

    use bytes::Bytes;
    use parquet::file::reader::{FileReader, SerializedFileReader};
    use parquet::record::RowAccessor;
    use tautleaf_trials::Effort;
    use tautleaf_trials::spread::Sampling;

    use super::*;

    #[test]
    fn rows_read_back_as_they_were_with_seed_and_version() {
        let text = "schema = 1\n[limits]\nkinetic_energy_max = \"30 J\"\nperson_waits_max = \"1 s\"\n";
        let scenario = tautleaf_scenario::parse(text, "door.toml").unwrap();
        let study = scenario.study(5, Sampling::Random, Effort::NoForceTest).unwrap();
        let mut rows = Vec::new();
        study.run(0..6, 1, &AtomicBool::new(false), |row| {
            rows.push(row);
            std::ops::ControlFlow::Continue(())
        });
        let from = Provenance::of_spread(&scenario, &study, 6, None, Effort::NoForceTest);
        let columns = Columns::of_spread(&study);
        let mut out = Vec::new();
        let mut writer = ParquetRows::begin(&mut out, &from, columns.clone()).unwrap();
        rows.iter().for_each(|row| writer.row(row).unwrap());
        writer.finish().unwrap();

        let reader = SerializedFileReader::new(Bytes::from(out)).unwrap();
        let about = reader.metadata().file_metadata().key_value_metadata().unwrap().clone();
        let said = |key: &str| about.iter().find(|pair| pair.key == key).and_then(|pair| pair.value.clone());
        assert_eq!((said("seed"), said("version")), (Some("5".to_owned()), Some(VERSION.to_owned())));
        assert_eq!(serde_json::from_str::<Provenance>(&said(PROGRAM).unwrap()).unwrap(), from);
        let names = columns.names();
        let at = |name: &str| names.iter().position(|own| own == name).unwrap();
        let mut read = 0;
        for (row, back) in rows.iter().zip(reader.get_row_iter(None).unwrap()) {
            let back = back.unwrap();
            assert_eq!(back.len(), names.len());
            assert_eq!(back.get_long(0).unwrap(), row.index as i64);
            assert_eq!(back.get_string(1).unwrap(), "done");
            assert_eq!(back.get_double(at("leaf.mass")).ok(), Some(row.values[at("leaf.mass") - 2]));
            let energy = tautleaf_physics::Figure::PeakEnergyLeaf;
            assert_eq!(back.get_double(at(energy.name())).ok(), row.trial.get(energy));
            assert_eq!(back.get_bool(at("kinetic_energy_max.kept")).ok(), row.trial.judged[0].kept);
            // no one walks up: not judged
            assert!(back.get_double(at("person_waits_max.margin")).is_err());
            read += 1;
        }
        assert_eq!(read, 6);
    }
}
