//! Long work on threads of its own, with progress and cancelling.

use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

use crate::services::OnReady;

/// The worker's end: reports progress and hears of cancelling.
pub struct Control<E> {
    cancelled: Arc<AtomicBool>,
    events: Sender<E>,
    on_ready: OnReady,
}

impl<E> Control<E> {
    /// Sends an event to the window.
    pub fn send(&self, event: E) {
        // A window that has closed needs no news.
        let _closed = self.events.send(event);
        (self.on_ready)();
    }

    /// Breaks once the rider has cancelled.
    pub fn flow(&self) -> ControlFlow<()> {
        if self.cancelled.load(Ordering::Relaxed) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

/// The window's end of one piece of work; dropping it cancels.
pub struct Task {
    cancelled: Arc<AtomicBool>,
    ended: Arc<AtomicBool>,
}

impl Task {
    /// Calls the work back; it runs on until it looks whether it was.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether the work has not come to its end.
    #[must_use]
    pub fn is_running(&self) -> bool {
        !self.ended.load(Ordering::Relaxed)
    }
}

impl Drop for Task {
    fn drop(&mut self) {
        self.cancel();
    }
}

/// Tells that work has come to its end, however it came to it, also if it never began.
struct Ended(Arc<AtomicBool>, OnReady);

impl Drop for Ended {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
        (self.1)();
    }
}

/// Starts work and receives what it reports.
pub struct Tasks<E> {
    sender: Sender<E>,
    receiver: Receiver<E>,
    on_ready: OnReady,
}

impl<E: Send + 'static> Tasks<E> {
    /// No work yet; `on_ready` is called with every event.
    #[must_use]
    pub fn new(on_ready: OnReady) -> Self {
        let (sender, receiver) = channel();
        Self {
            sender,
            receiver,
            on_ready,
        }
    }

    /// Runs work on a thread. Dropping the task cancels it.
    pub fn start(&self, name: &str, work: impl FnOnce(&Control<E>) + Send + 'static) -> Task {
        let cancelled = Arc::new(AtomicBool::new(false));
        let control = Control {
            cancelled: cancelled.clone(),
            events: self.sender.clone(),
            on_ready: self.on_ready.clone(),
        };
        let ended = Arc::new(AtomicBool::new(false));
        let told = Ended(ended.clone(), self.on_ready.clone());
        let thread = std::thread::Builder::new()
            .name(name.to_owned())
            .spawn(move || {
                let _told = told;
                work(&control);
            });
        if let Err(error) = thread {
            log::error!("no thread for {name}: {error}");
            ended.store(true, Ordering::Relaxed);
        }
        Task { cancelled, ended }
    }

    /// The next event.
    #[must_use]
    pub fn poll(&self) -> Option<E> {
        self.receiver.try_recv().ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_window_is_woken_when_work_ends_without_a_word() {
        let (wake, woken) = channel();
        let tasks: Tasks<()> = Tasks::new(Arc::new(move || {
            let _gone = wake.send(());
        }));
        let task = tasks.start("fails", |_| panic!("as a test of it"));
        woken.recv().expect("the window is woken");
        assert!(!task.is_running() && tasks.poll().is_none());
    }
}
