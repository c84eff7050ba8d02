//! A table on its way into its file, a bounded number of rows at a time.

use std::io::Write;
use std::sync::Arc;

use arrow_array::RecordBatch;
use arrow_schema::SchemaRef;
use parquet::arrow::ArrowWriter;
use parquet::basic::Compression;
use parquet::errors::Result;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::schema::types::ColumnPath;

use super::column::Columns;

/// Rows that are turned into columns at once.
const BATCH: usize = 8_192;

/// Rows of a row group, of which one at a time is in memory, compressed: enough for engines to
/// read them side by side, and some ten megabytes of marks.
pub(super) const ROW_GROUP: usize = 128 * 1_024;

/// A file that is being written.
pub(super) struct Sheet<R, W: Write + Send> {
    columns: Columns<R>,
    schema: SchemaRef,
    waiting: Vec<R>,
    writer: ArrowWriter<W>,
    rows: usize,
}

impl<R, W: Write + Send> Sheet<R, W> {
    /// Begins a file with these columns, and with these words about all of it.
    pub(super) fn new(into: W, columns: Columns<R>, about: Vec<KeyValue>) -> Result<Self> {
        let schema = Arc::new(columns.schema());
        let mut properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_max_row_group_row_count(Some(ROW_GROUP))
            .set_key_value_metadata(Some(about));
        for column in columns.iter().filter(|column| column.unique) {
            let path = ColumnPath::from(column.name);
            properties = properties.set_column_dictionary_enabled(path, false);
        }
        let writer = ArrowWriter::try_new(into, Arc::clone(&schema), Some(properties.build()))?;
        Ok(Self {
            columns,
            schema,
            waiting: Vec::with_capacity(BATCH),
            writer,
            rows: 0,
        })
    }

    /// Adds a row.
    pub(super) fn push(&mut self, row: R) -> Result<()> {
        self.waiting.push(row);
        if self.waiting.len() == BATCH {
            self.flush()?;
        }
        Ok(())
    }

    /// Ends the file; how many rows it has, and what it was written into.
    pub(super) fn finish(mut self) -> Result<(usize, W)> {
        self.flush()?;
        let into = self.writer.into_inner()?;
        Ok((self.rows, into))
    }

    fn flush(&mut self) -> Result<()> {
        let arrays = self.columns.iter();
        let arrays = arrays.map(|column| column.array(&self.waiting)).collect();
        let batch = RecordBatch::try_new(Arc::clone(&self.schema), arrays)?;
        self.rows += self.waiting.len();
        self.waiting.clear();
        self.writer.write(&batch)
    }
}
