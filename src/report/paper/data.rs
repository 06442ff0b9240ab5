//! The figures behind a document: as CSV, one value a line, and as JSON.

use super::document::{Block, Column, DataTable, Document, PaperError, Value};
use serde::{Serialize, Serializer, ser::SerializeMap};

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Number(v) if v.is_finite() => out.serialize_f64(*v),
            Self::Number(_) => out.serialize_none(),
            Self::Words(words) => out.serialize_str(words),
        }
    }
}

struct Row<'t>(&'t [Column], &'t [Value]);

impl Serialize for Row<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let mut map = out.serialize_map(Some(self.1.len()))?;
        for (column, value) in self.0.iter().zip(self.1) {
            map.serialize_entry(column, value)?;
        }
        map.end()
    }
}

struct Tables<'t>(&'t [DataTable]);

impl Serialize for Tables<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let mut map = out.serialize_map(Some(self.0.len()))?;
        for table in self.0 {
            let rows: Vec<Row<'_>> = table.rows.iter().map(|r| Row(&table.columns, r)).collect();
            map.serialize_entry(table.name, &rows)?;
        }
        map.end()
    }
}

#[derive(Serialize)]
struct Form<'d> {
    paper: &'static str,
    title: &'d str,
    subtitle: &'d str,
    sentences: Vec<&'d str>,
    tables: Tables<'d>,
}

/// Writes title, sentences and every table of figures.
pub(super) fn json(document: &Document) -> Result<Vec<u8>, PaperError> {
    let mut sentences = Vec::new();
    if let Some(front) = &document.front {
        sentences.extend(front.set.iter().chain(&front.to_do).map(String::as_str));
    }
    for block in &document.blocks {
        match block {
            Block::Finding(words) | Block::Text(words) => sentences.push(words.as_str()),
            Block::Points(points) | Block::Cautions(points) => {
                sentences.extend(points.iter().map(String::as_str));
            }
            Block::Heading(_) | Block::Table(_) | Block::Maps(_) => {}
        }
    }
    let form = Form {
        paper: document.kind,
        title: &document.title,
        subtitle: &document.subtitle,
        sentences,
        tables: Tables(&document.data),
    };
    let mut text =
        serde_json::to_string_pretty(&form).map_err(|e| PaperError::Draw(e.to_string()))?;
    text.push('\n');
    Ok(text.into_bytes())
}

/// Writes every value of every table on a line of its own: table, row from 1, column, value.
pub(super) fn csv(document: &Document) -> Result<Vec<u8>, PaperError> {
    let failed = |e: csv::Error| PaperError::Draw(e.to_string());
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["table", "row", "column", "value"])
        .map_err(failed)?;
    for table in &document.data {
        for (i, row) in table.rows.iter().enumerate() {
            for (column, value) in table.columns.iter().zip(row) {
                let text = match value {
                    Value::Number(v) if v.is_finite() => v.to_string(),
                    Value::Number(_) => String::new(),
                    Value::Words(words) => words.clone(),
                };
                out.write_record([table.name, &(i + 1).to_string(), column, &text])
                    .map_err(failed)?;
            }
        }
    }
    out.into_inner()
        .map_err(|e| PaperError::Draw(e.to_string()))
}
