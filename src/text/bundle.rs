use super::file::NO_SUCH_FILE;
use super::{Fault, Place, nearest};
use std::io::{Cursor, Read};
use zip::ZipArchive;
use zip::result::ZipError;

/// Files in one zip, read into memory.
///
/// Names are paths below the zip, with `/`; a name that would lead out of it, a link and a file under a password are refused.
#[derive(Debug, Clone)]
pub struct Bundle {
    /// The zip, as the user named it.
    file: String,
    files: Vec<(String, Vec<u8>)>,
}

/// Most files in a zip: a site has some twenty.
const MOST_FILES: usize = 2_000;

/// Most bytes that a zip may hold unpacked: a small zip can be made that never ends.
const MOST_BYTES: u64 = 256_000_000;

impl Bundle {
    /// Reads a zip.
    ///
    /// # Errors
    /// What is no zip, holds too much, or cannot be unpacked.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Fault> {
        let fault = |text: &str, found: String| {
            Fault::new(Place::file(file), text)
                .found(found)
                .expected("a zip with a site file and its surveys")
        };
        let broken = |e: ZipError| {
            fault("this zip cannot be read", e.to_string()).advice("copy or save it once more")
        };
        let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
        if archive.len() > MOST_FILES {
            return Err(
                fault("this zip holds too many files", archive.len().to_string())
                    .advice("keep the site file and its surveys in a zip of their own"),
            );
        }
        let mut files = Vec::new();
        let mut left = MOST_BYTES;
        for i in 0..archive.len() {
            let mut entry = archive.by_index(i).map_err(broken)?;
            if entry.is_dir() {
                continue;
            }
            let plain = entry.enclosed_name().filter(|_| !entry.is_symlink());
            let Some(name) = plain.map(|p| p.to_string_lossy().replace('\\', "/")) else {
                let name = entry.name().map(|n| n.to_string()).unwrap_or_default();
                return Err(fault("this zip would write outside itself", name)
                    .advice("make it anew from the site file and its surveys"));
            };
            let mut unpacked = Vec::new();
            (&mut entry)
                .take(left + 1)
                .read_to_end(&mut unpacked)
                .map_err(|e| broken(e.into()))?;
            left = match left.checked_sub(unpacked.len() as u64) {
                Some(left) => left,
                None => {
                    return Err(fault(
                        "this zip holds too much",
                        format!("more than {MOST_BYTES} bytes"),
                    )
                    .advice("keep the site file and its surveys in a zip of their own"));
                }
            };
            files.push((name, unpacked));
        }
        Ok(Self {
            file: file.to_owned(),
            files,
        })
    }

    /// The bytes of a file in it.
    ///
    /// # Errors
    /// Where it is not there.
    pub fn get(&self, name: &str) -> Result<&[u8], Fault> {
        let plain = name.trim_start_matches("./");
        let found = self.files.iter().find(|(n, _)| n == plain);
        found.map(|(_, bytes)| bytes.as_slice()).ok_or_else(|| {
            let names = self.files.iter().map(|(n, _)| n.as_str());
            let advice = nearest(plain, names).map_or_else(
                || "put the file into the zip, beside the site file".to_owned(),
                |near| format!("did you mean \"{near}\"?"),
            );
            Fault::new(Place::file(self.within(name)), NO_SUCH_FILE)
                .found("nothing of this name")
                .advice(advice)
        })
    }

    /// The one file with an ending that lies highest, leaving out folders that results were written to.
    ///
    /// # Errors
    /// None, or several that lie as high.
    pub fn only(&self, ending: &str) -> Result<&str, Fault> {
        let results: Vec<&str> = self
            .files
            .iter()
            .filter_map(|(n, _)| n.strip_suffix("result.json"))
            .collect();
        let all: Vec<&str> = self
            .files
            .iter()
            .map(|(name, _)| name.as_str())
            .filter(|n| n.to_lowercase().ends_with(ending))
            .filter(|n| !results.iter().any(|folder| n.starts_with(folder)))
            .collect();
        let depth = |name: &str| name.matches('/').count();
        let least = all.iter().map(|n| depth(n)).min();
        let highest: Vec<&str> = all
            .into_iter()
            .filter(|n| Some(depth(n)) == least)
            .collect();
        match highest.as_slice() {
            [one] => Ok(one),
            [] => Err(
                Fault::new(Place::file(&self.file), "this zip holds no site file")
                    .expected(format!("one file that ends with {ending}"))
                    .advice("put the site file into it, with the surveys it names"),
            ),
            several => Err(Fault::new(
                Place::file(&self.file),
                "this zip holds several site files",
            )
            .found(several.join(", "))
            .expected("one")
            .advice("unpack it and check one of them")
            .choices(several.iter().copied())),
        }
    }

    /// A name in it, as a fault tells it.
    pub fn within(&self, name: &str) -> String {
        format!("{}/{name}", self.file)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::io::Write;
    use zip::ZipWriter;
    use zip::write::SimpleFileOptions;

    fn packed(files: &[(&str, &str)]) -> Vec<u8> {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, text) in files {
            zip.start_file(*name, SimpleFileOptions::default()).unwrap();
            zip.write_all(text.as_bytes()).unwrap();
        }
        zip.finish().unwrap().into_inner()
    }

    #[test]
    fn the_site_file_that_lies_highest_is_the_one() {
        let bytes = packed(&[
            ("gill/walk.gpx", "<gpx/>"),
            ("gill/site.toml", "format = 1"),
            ("gill/site-results/result.json", "{}"),
            ("gill/site-results/site.toml", "format = 1"),
            ("gill/old/site.toml", "format = 1"),
        ]);
        let bundle = Bundle::read("gill.zip", &bytes).unwrap();
        assert_eq!(bundle.only(".toml").unwrap(), "gill/site.toml");
        assert_eq!(bundle.get("gill/walk.gpx").unwrap(), b"<gpx/>");
        let fault = bundle.get("gill/wolk.gpx").unwrap_err();
        assert_eq!(&*fault.text, NO_SUCH_FILE);
        assert!(fault.advice.unwrap().contains("walk.gpx"));
        let two = packed(&[("a.toml", ""), ("b.toml", "")]);
        let two = Bundle::read("x.zip", &two).unwrap();
        assert_eq!(two.only(".toml").unwrap_err().choices, ["a.toml", "b.toml"]);
        let none = Bundle::read("x.zip", &packed(&[("a.gpx", "")])).unwrap();
        assert!(none.only(".toml").is_err());
    }

    #[test]
    fn what_leads_out_is_refused() {
        let fault = Bundle::read("x.zip", &packed(&[("../a.toml", "")])).unwrap_err();
        assert!(fault.text.contains("outside"));
        assert!(Bundle::read("x.zip", b"PK\x03\x04 no zip").is_err());
    }

    proptest! {
        #[test]
        fn no_bytes_panic(at in 0..400usize, byte: u8, cut in 0..400usize) {
            let mut bytes = packed(&[("site.toml", "format = 1"), ("walk.gpx", "<gpx/>")]);
            if let Some(b) = bytes.get_mut(at) { *b = byte; }
            bytes.truncate(bytes.len().saturating_sub(cut.saturating_sub(200)));
            if let Ok(bundle) = Bundle::read("x.zip", &bytes) {
                let _ = bundle.only(".toml").map(|name| bundle.get(name).map(<[u8]>::len));
            }
        }
    }
}
