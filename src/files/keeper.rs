//! Keeps the newest state of the design from a thread of its own, so that the window never waits for the disk.

use std::io;
use std::path::PathBuf;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use super::recovery::{Recovery, RecoveryError};
use crate::knife::KnifeSet;

/// Shortest time from one writing to the next. With the writing itself it stays well below the second that a crash may cost.
const PAUSE: Duration = Duration::from_millis(300);
/// The same after a writing that failed: a full disk is not freed in a moment.
const PAUSE_AFTER_FAILURE: Duration = Duration::from_secs(1);

/// Said when the thread is gone, which only a fault of this program can bring about.
const STOPPED: &str = "unsaved work is no longer kept: save now and start the program again";

enum Order {
    Keep(KnifeSet, Option<PathBuf>),
    Clear,
    Discard(u32),
    Flush(Sender<()>),
}

/// A handle on the thread. Dropping it writes what is still to be written; [`Keeper::finish`] ends a session in which nothing is left to keep.
#[derive(Debug)]
pub struct Keeper {
    orders: Option<Sender<Order>>,
    thread: Option<JoinHandle<()>>,
    problem: Arc<Mutex<Option<String>>>,
}

impl Keeper {
    /// Starts the thread with the slot it writes to.
    ///
    /// # Errors
    /// The system has no thread to give.
    pub fn start(recovery: Recovery) -> io::Result<Self> {
        let (orders, inbox) = mpsc::channel();
        let problem = Arc::new(Mutex::new(None));
        let mut work = Work {
            recovery,
            waiting: None,
            due: Instant::now(),
            problem: Arc::clone(&problem),
        };
        let thread = thread::Builder::new()
            .name("keeper".to_owned())
            .spawn(move || work.run(&inbox))?;
        Ok(Self {
            orders: Some(orders),
            thread: Some(thread),
            problem,
        })
    }

    /// Keeps this state of the design soon, unless a newer one comes before. Costs the caller next to nothing.
    pub fn keep(&self, set: KnifeSet, design: Option<PathBuf>) {
        self.order(Order::Keep(set, design));
    }

    /// Forgets what was kept: the design was saved, and nothing has changed since.
    pub fn clear(&self) {
        self.order(Order::Clear);
    }

    /// Throws away what a crashed process left; see [`Recovery::discard`]. What was ordered to be kept before is written first.
    pub fn discard(&self, slot: u32) {
        self.order(Order::Discard(slot));
    }

    /// Waits until everything ordered so far is done.
    pub fn flush(&self) {
        let (done, wait) = mpsc::channel();
        self.order(Order::Flush(done));
        // If the thread is gone, so is the other end, and there is nothing to wait for.
        let _ = wait.recv();
    }

    /// Why the newest state is not kept; `None` while all is well.
    #[must_use]
    pub fn problem(&self) -> Option<String> {
        if self.thread.as_ref().is_none_or(JoinHandle::is_finished) {
            return Some(STOPPED.to_owned());
        }
        let problem = self.problem.lock();
        problem.unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Ends a session with nothing left to keep: what was kept is forgotten.
    pub fn finish(self) {
        self.clear();
    }

    fn order(&self, order: Order) {
        if let Some(orders) = &self.orders {
            // A thread that is gone shows in `problem`.
            let _ = orders.send(order);
        }
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        // The thread ends when its inbox does, after the last order.
        self.orders = None;
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// What the thread works on.
struct Work {
    recovery: Recovery,
    waiting: Option<(KnifeSet, Option<PathBuf>)>,
    /// When the next writing may begin.
    due: Instant,
    problem: Arc<Mutex<Option<String>>>,
}

impl Work {
    fn run(&mut self, inbox: &Receiver<Order>) {
        loop {
            let now = Instant::now();
            if self.waiting.is_some() && self.due <= now {
                self.write();
                continue;
            }
            let order = if self.waiting.is_some() {
                inbox.recv_timeout(self.due.saturating_duration_since(now))
            } else {
                inbox.recv().map_err(RecvTimeoutError::from)
            };
            match order {
                Ok(Order::Keep(set, design)) => self.waiting = Some((set, design)),
                Ok(Order::Clear) => {
                    self.waiting = None;
                    let done = self.recovery.clear();
                    self.tell(done);
                }
                Ok(Order::Discard(slot)) => {
                    self.write();
                    // What could not be written elsewhere must not be thrown away here.
                    if self.waiting.is_none() {
                        let done = self.recovery.discard(slot);
                        self.tell(done);
                    }
                }
                Ok(Order::Flush(done)) => {
                    self.write();
                    let _ = done.send(());
                }
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => {
                    self.write();
                    return;
                }
            }
        }
    }

    /// Writes what waits; if that fails, it waits on.
    fn write(&mut self) {
        let Some((set, design)) = &self.waiting else {
            return;
        };
        let done = self.recovery.keep(set, design.as_deref());
        if done.is_ok() {
            self.waiting = None;
        }
        let pause = if done.is_ok() {
            PAUSE
        } else {
            PAUSE_AFTER_FAILURE
        };
        self.due = Instant::now() + pause;
        self.tell(done);
    }

    fn tell(&self, done: Result<(), RecoveryError>) {
        let mut problem = self.problem.lock().unwrap_or_else(PoisonError::into_inner);
        *problem = done.err().map(|error| error.to_string());
    }
}
