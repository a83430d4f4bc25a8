//! Records of the input: JSON Lines, one JSON value, a JSON array, or plain lines. Every record is bounded.

use std::collections::VecDeque;
use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::PathBuf;

use salver::{InputError, limits, wire};

/// Most bytes of a file that is one JSON value over several lines.
const DOCUMENT_BYTES: usize = 64_000_000;

/// One record and where it stands.
pub(crate) struct Record {
    /// The file; `None` for standard input and the command line.
    pub(crate) file: Option<String>,
    /// Its line, from 1; in a JSON array the place in it, from 1.
    pub(crate) line: u64,
    /// Its place in the whole input, from 1.
    pub(crate) number: u64,
    text: Result<String, InputError>,
}

impl Record {
    /// A record from the command line.
    pub(crate) fn text(text: String) -> Self {
        Self { file: None, line: 1, number: 1, text: Ok(text) }
    }

    /// Its text, or why it could not be taken.
    pub(crate) fn json(&self) -> Result<&str, InputError> {
        self.text.as_deref().map_err(Clone::clone)
    }
}

/// What a file turned out to hold.
enum Shape {
    Unknown,
    Lines,
}

struct Source {
    name: Option<String>,
    reader: Box<dyn BufRead>,
    shape: Shape,
    line: u64,
}

/// The records of all files, or of standard input, in order.
pub(crate) struct Records {
    sources: VecDeque<Source>,
    ready: VecDeque<Record>,
    number: u64,
}

fn invalid(what: &str, remedy: &str) -> InputError {
    InputError { field: "the record".to_owned(), what: what.to_owned(), remedy: remedy.to_owned() }
}

impl Records {
    /// JSON in any of its shapes.
    pub(crate) fn open(files: &[PathBuf]) -> io::Result<Self> {
        Self::with_shape(files, || Shape::Unknown)
    }

    /// Plain lines.
    pub(crate) fn lines(files: &[PathBuf]) -> io::Result<Self> {
        Self::with_shape(files, || Shape::Lines)
    }

    fn with_shape(files: &[PathBuf], shape: fn() -> Shape) -> io::Result<Self> {
        let mut sources = VecDeque::new();
        for path in files {
            let name = path.display().to_string();
            let file = File::open(path).map_err(|e| io::Error::new(e.kind(), format!("{name}: {e}")))?;
            sources.push_back(Source {
                name: Some(name),
                reader: Box::new(BufReader::new(file)),
                shape: shape(),
                line: 0,
            });
        }
        if files.is_empty() {
            let reader = Box::new(BufReader::new(io::stdin()));
            sources.push_back(Source { name: None, reader, shape: shape(), line: 0 });
        }
        Ok(Self { sources, ready: VecDeque::new(), number: 0 })
    }

    fn read_next(&mut self) -> io::Result<bool> {
        let Some(source) = self.sources.front_mut() else {
            return Ok(false);
        };
        let Some(bytes) = source.line_bytes()? else {
            self.sources.pop_front();
            return Ok(true);
        };
        if bytes.len() <= limits::CHECK_BYTES && bytes.iter().all(u8::is_ascii_whitespace) {
            return Ok(true);
        }
        if matches!(source.shape, Shape::Unknown) {
            let complete = serde_json::from_slice::<serde_json::Value>(&bytes);
            let one_object = matches!(complete, Ok(serde_json::Value::Object(_)));
            // An error before the end of the line is a bad line; one at its end is a value over several lines.
            let goes_on =
                matches!(&complete, Err(e) if e.is_eof()) || matches!(complete, Ok(serde_json::Value::Array(_)));
            source.shape = Shape::Lines;
            if goes_on && !one_object {
                let (name, line) = (source.name.clone(), source.line);
                let document = source.rest(bytes)?;
                self.sources.pop_front();
                self.take_document(name, line, &document);
                return Ok(true);
            }
        }
        let (name, line) = (source.name.clone(), source.line);
        self.push(name, line, text_of(&bytes));
        Ok(true)
    }

    fn push(&mut self, file: Option<String>, line: u64, text: Result<String, InputError>) {
        self.number += 1;
        self.ready.push_back(Record { file, line, number: self.number, text });
    }

    /// A whole document: an array of records, one record, or lines of which the first was broken.
    fn take_document(&mut self, name: Option<String>, first_line: u64, document: &[u8]) {
        if document.len() > DOCUMENT_BYTES {
            let error = invalid(
                "a JSON document over several lines is over the bound of 64000000 bytes",
                "write one record a line",
            );
            return self.push(name, first_line, Err(error));
        }
        match serde_json::from_slice::<serde_json::Value>(document) {
            Ok(serde_json::Value::Array(records)) => {
                for (n, record) in (1..).zip(records) {
                    self.push(name.clone(), n, Ok(record.to_string()));
                }
            }
            Ok(_) => self.push(name, first_line, text_of(document)),
            Err(_) => {
                for (n, line) in (first_line..).zip(document.split(|b| *b == b'\n')) {
                    if !line.iter().all(u8::is_ascii_whitespace) {
                        self.push(name.clone(), n, text_of(line));
                    }
                }
            }
        }
    }
}

impl Source {
    /// The next line, or `None` at the end. A line past the bound comes back cut, one byte too long.
    fn line_bytes(&mut self) -> io::Result<Option<Vec<u8>>> {
        let bound = limits::CHECK_BYTES + 1;
        let mut bytes = Vec::new();
        let read = (&mut self.reader).take(bound as u64).read_until(b'\n', &mut bytes)?;
        if read == 0 {
            return Ok(None);
        }
        self.line += 1;
        if bytes.last() == Some(&b'\n') {
            bytes.pop();
        } else if bytes.len() == bound {
            self.skip_line()?;
        }
        Ok(Some(bytes))
    }

    fn skip_line(&mut self) -> io::Result<()> {
        loop {
            let buffer = self.reader.fill_buf()?;
            if buffer.is_empty() {
                return Ok(());
            }
            let (length, done) = match buffer.iter().position(|b| *b == b'\n') {
                Some(end) => (end + 1, true),
                None => (buffer.len(), false),
            };
            self.reader.consume(length);
            if done {
                return Ok(());
            }
        }
    }

    fn rest(&mut self, mut first: Vec<u8>) -> io::Result<Vec<u8>> {
        first.push(b'\n');
        (&mut self.reader).take(DOCUMENT_BYTES as u64).read_to_end(&mut first)?;
        Ok(first)
    }
}

fn text_of(bytes: &[u8]) -> Result<String, InputError> {
    wire::record(bytes).map(str::to_owned)
}

impl Iterator for Records {
    type Item = io::Result<Record>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            if let Some(record) = self.ready.pop_front() {
                return Some(Ok(record));
            }
            match self.read_next() {
                Ok(true) => {}
                Ok(false) => return None,
                Err(error) => {
                    self.sources.clear();
                    return Some(Err(error));
                }
            }
        }
    }
}
