//! Threads for work beside the window: they give way to it.

use std::io;
use std::thread::Builder;

/// How much nicer than the window's own thread work beside it is. With 10 it has about a tenth of the window's claim on a processor both want: frames are
/// hardly held up, and while the window rests the work has the whole processor all the same.
#[cfg(target_os = "linux")]
const NICER: i32 = 10;

/// Begins work on a thread of its own, which gives way to the window's.
///
/// # Errors
/// The system has no thread to give.
pub(super) fn work_beside(name: &str, work: impl FnOnce() + Send + 'static) -> io::Result<()> {
    let thread = Builder::new().name(name.to_owned());
    thread.spawn(move || {
        give_way();
        work();
    })?;
    Ok(())
}

/// Makes the thread that calls it nicer; elsewhere than on Linux, niceness is not a thread's own.
fn give_way() {
    // Nothing is lost where it is refused: the work goes on with the claim all threads have.
    #[cfg(target_os = "linux")]
    let _ = rustix::process::nice(NICER);
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    #[test]
    fn work_beside_gives_way_and_the_window_stays_as_it_is() {
        let own = || rustix::process::getpriority_process(None).unwrap();
        let (tell, told) = std::sync::mpsc::channel();
        let before = own();
        work_beside("test", move || tell.send(own()).unwrap()).unwrap();
        assert_eq!(told.recv().unwrap(), (before + NICER).min(19));
        assert_eq!(own(), before);
    }
}
