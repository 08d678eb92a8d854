//! The tables under tests/outside/tables, made by other programs, for the tests.

/// The rows of a table, as text, without its `#` lines and its header.
pub(crate) fn rows(table: &str) -> Vec<csv::StringRecord> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/outside/tables")
        .join(table);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap();
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert!(rows.len() > 20, "{} is nearly empty", path.display());
    rows
}

/// The first `N` fields of a row as numbers.
pub(crate) fn numbers<const N: usize>(row: &csv::StringRecord) -> [f64; N] {
    std::array::from_fn(|i| row[i].parse().unwrap())
}
