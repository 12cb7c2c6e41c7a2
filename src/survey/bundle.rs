use super::packed::members;
use crate::text::{Fault, NO_SUCH_FILE, Place, nearest};

/// A site with its surveys in one zip, read into memory: nothing of it is written anywhere.
#[derive(Debug, Clone)]
pub struct Bundle {
    /// The zip, as the user named it.
    file: String,
    /// Names are paths below the zip, with `/`.
    files: Vec<(String, Vec<u8>)>,
}

impl Bundle {
    /// Unpacks a zip, within the limits of every packed file.
    ///
    /// # Errors
    /// What is no zip, holds too much, or cannot be unpacked.
    pub fn read(file: &str, bytes: &[u8]) -> Result<Self, Fault> {
        let files = members(bytes, file)?
            .into_iter()
            .map(|m| (m.name.replace('\\', "/"), m.bytes))
            .collect();
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
                || "put the file into the zip, next to the site file".to_owned(),
                |near| format!("did you mean \"{near}\"?"),
            );
            Fault::new(Place::file(self.within(name)), NO_SUCH_FILE)
                .found("no file with this name")
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
                Fault::new(Place::file(&self.file), "this zip has no site file")
                    .expected(format!("one file that ends with {ending}"))
                    .advice(
                        "put the site file into it, with the survey files that the site file names",
                    ),
            ),
            several => Err(Fault::new(
                Place::file(&self.file),
                "this zip has more than one site file",
            )
            .found(several.join(", "))
            .expected("one site file")
            .advice("unpack the zip, and check one of the site files")
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
    use std::io::{Cursor, Write};
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
    fn what_is_no_zip_is_told() {
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
