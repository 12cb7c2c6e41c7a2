use std::fs;
use std::path::Path;

/// The files of a target's corpus, in the order of their names. `tests` is the folder that holds `corpus`.
pub fn files(tests: &Path, target: &str) -> Vec<(String, Vec<u8>)> {
    let mut out: Vec<(String, Vec<u8>)> = fs::read_dir(tests.join("corpus").join(target))
        .into_iter()
        .flatten()
        .flatten()
        .filter_map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            fs::read(entry.path()).ok().map(|bytes| (name, bytes))
        })
        .collect();
    out.sort();
    out
}
