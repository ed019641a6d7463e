//! The scale beside the window: weighs a knife that is dragged on a thread of its own, so that no frame waits for it.

use std::io;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::thread::sleep;
use std::time::Duration;

use super::beside::work_beside;
use super::weighed::Weighed;
use crate::checks::Thresholds;
use crate::knife::{Knife, KnifeSet};

/// A frame that has asked is drawn to its end within about this time.
const UNTIL_DRAWN: Duration = Duration::from_millis(2);

/// Weighs one knife at a time; what came to be asked meanwhile is asked again by the next frame.
#[derive(Debug, Default)]
pub(super) struct Weigher {
    bench: Option<Bench>,
    is_busy: bool,
    /// Whether what is weighed now is of no use any more.
    is_stale: bool,
}

/// A thread, and the ways to it and back.
#[derive(Debug)]
struct Bench {
    jobs: Sender<Job>,
    done: Receiver<Weighed>,
}

struct Job {
    knife: Arc<Knife>,
    set: KnifeSet,
    thresholds: Arc<Thresholds>,
}

impl Bench {
    fn new() -> io::Result<Self> {
        let (jobs, asked) = channel::<Job>();
        let (tell, done) = channel();
        // It gives way: while the window draws, the next frame's numbers can wait. It ends when its window does.
        work_beside("scale", move || {
            for job in asked {
                // Woken, it would take the processor from the very frame that woke it, nicer or not.
                sleep(UNTIL_DRAWN);
                // What is kept from one outline to the next is not worth handing back.
                let weighed = Weighed::new(&job.knife, &job.set, &job.thresholds, None, true);
                if tell.send(weighed).is_err() {
                    break;
                }
            }
        })?;
        Ok(Self { jobs, done })
    }
}

impl Weigher {
    /// Asks for a rough weigh-up, unless one is under way. Where the system gives no thread none comes, and the knife is weighed when it is let go.
    pub(super) fn ask(&mut self, knife: &Arc<Knife>, set: &KnifeSet, thresholds: &Arc<Thresholds>) {
        if self.is_busy {
            return;
        }
        if self.bench.is_none() {
            self.bench = Bench::new().ok();
        }
        let job = Job {
            knife: Arc::clone(knife),
            set: set.clone(),
            thresholds: Arc::clone(thresholds),
        };
        let sent = self.bench.as_ref().map(|bench| bench.jobs.send(job));
        self.is_busy = matches!(sent, Some(Ok(())));
        self.is_stale = false;
    }

    /// A weigh-up that has been made meanwhile.
    pub(super) fn take(&mut self) -> Option<Weighed> {
        match self.bench.as_ref()?.done.try_recv() {
            Ok(weighed) => {
                self.is_busy = false;
                (!self.is_stale).then_some(weighed)
            }
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => {
                *self = Self::default();
                None
            }
        }
    }

    /// Lets what is weighed now come to nothing.
    pub(super) fn forget(&mut self) {
        self.is_stale = true;
    }
}
