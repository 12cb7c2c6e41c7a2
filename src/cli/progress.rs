//! A line on standard error while a run takes longer than a second, and only where somebody watches.

use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

/// Shorter runs say nothing.
const PATIENCE: Duration = Duration::from_secs(1);
/// How often the line is written anew.
const EACH: Duration = Duration::from_millis(250);

/// Says what is being done; the line goes when this does.
#[derive(Debug)]
pub struct Progress {
    stage: Arc<Mutex<&'static str>>,
    watch: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Progress {
    /// Begins; silent where standard error is no terminal, or the user asked for quiet.
    pub fn start(quiet: bool, stage: &'static str) -> Self {
        let stage = Arc::new(Mutex::new(stage));
        let watched = !quiet && io::stderr().is_terminal();
        let watch = watched.then_some(()).and_then(|()| {
            let (done, gone) = mpsc::channel();
            let stage = Arc::clone(&stage);
            let began = Instant::now();
            let watch = move || {
                let mut wait = PATIENCE;
                let (mut wide, mut last) = (0, String::new());
                while gone.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
                    wait = EACH;
                    let Ok(stage) = stage.lock() else { break };
                    let line = format!("{stage}, {} s", began.elapsed().as_secs());
                    if line != last {
                        wide = wide.max(line.len());
                        say(&format!("\r{line:wide$}"));
                        last = line;
                    }
                }
                if wide > 0 {
                    say(&format!("\r{:wide$}\r", ""));
                }
            };
            // A system without threads, such as a browser, says nothing.
            let thread = thread::Builder::new().spawn(watch).ok()?;
            Some((done, thread))
        });
        let progress = Self { stage, watch };
        progress.line();
        progress
    }

    /// A page that runs the program has no terminal and no threads: it asks for each stage on a line of its own.
    fn line(&self) {
        if let (Some(mark), Ok(stage)) = (std::env::var_os("STEADYFALL_STAGES"), self.stage.lock())
        {
            eprintln!("{}{stage}", mark.to_string_lossy());
        }
    }

    /// What is done from here on.
    pub fn at(&self, stage: &'static str) {
        if let Ok(mut now) = self.stage.lock() {
            *now = stage;
        }
        self.line();
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((done, thread)) = self.watch.take() {
            drop(done);
            let _ = thread.join();
        }
    }
}

/// A terminal that went away is no reason to stop.
fn say(text: &str) {
    let mut err = io::stderr().lock();
    let _ = err.write_all(text.as_bytes());
    let _ = err.flush();
}
