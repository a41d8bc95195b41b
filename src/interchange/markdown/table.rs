//! Tables whose columns stand under each other in the raw text, too.

use std::fmt;

/// A table: a row of headings, and rows.
#[derive(Clone, Debug)]
pub(super) struct Table {
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with headings.
    pub(super) fn new(headings: &[&str]) -> Self {
        Self { rows: vec![headings.iter().map(|&heading| heading.to_owned()).collect()] }
    }

    /// Adds a row.
    pub(super) fn row(&mut self, cells: &[&dyn fmt::Display]) {
        self.rows.push(cells.iter().map(|cell| escaped(&cell.to_string())).collect());
    }

    fn widths(&self) -> Vec<usize> {
        let columns = self.rows.first().map_or(0, Vec::len);
        let width = |column: usize| {
            self.rows.iter().filter_map(move |row| row.get(column)).map(|cell| cell.chars().count())
        };
        (0..columns).map(|column| width(column).max().unwrap_or(0).max(3)).collect()
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let widths = self.widths();
        for (index, row) in self.rows.iter().enumerate() {
            for (cell, &width) in row.iter().zip(&widths) {
                write!(f, "| {cell:<width$} ")?;
            }
            writeln!(f, "|")?;
            if index == 0 {
                for &width in &widths {
                    write!(f, "|{}", "-".repeat(width + 2))?;
                }
                writeln!(f, "|")?;
            }
        }
        Ok(())
    }
}

/// Text that Markdown takes as it is: its own signs marked, line breaks turned into spaces.
pub(super) fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\r' => escaped.push(' '),
            '\\' | '|' | '*' | '_' | '`' | '<' | '[' => escaped.extend(['\\', c]),
            _ => escaped.push(c),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_each_other() {
        let mut table = Table::new(&["voice", "n"]);
        table.row(&[&"Alto|*", &12]);
        assert_eq!(table.to_string(), "| voice    | n   |\n|----------|-----|\n| Alto\\|\\* | 12  |\n");
    }
}
