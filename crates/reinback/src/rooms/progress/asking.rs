//! The newest question, the worker that looks for its answer, and what it looks into.

use std::sync::{Arc, Mutex, MutexGuard};

use reinback_yard::Yard;

use crate::services::OnReady;
use crate::task::{Control, Task, Tasks};

/// The newest question: on its way to an answer, answered, or not to be answered.
///
/// **Invariant:** an answer is taken only if it is to the question that is on its way; of a question
/// that was left, nothing is.
pub(super) struct Asking<Q, A> {
    on_ready: OnReady,
    tasks: Tasks<(Q, A)>,
    running: Option<(Q, Task)>,
    /// What a worker could not answer; asked again only when something else was asked.
    failed: Option<Q>,
    answered: Option<(Q, A)>,
    /// How many answers were taken in, also before it forgot everything.
    answers: u64,
}

impl<Q: Clone + PartialEq + Send + 'static, A: Send + 'static> Asking<Q, A> {
    /// Nothing asked yet; `on_ready` is called from the worker when there is an answer.
    pub(super) fn new(on_ready: OnReady) -> Self {
        Self {
            tasks: Tasks::new(on_ready.clone()),
            on_ready,
            running: None,
            failed: None,
            answered: None,
            answers: 0,
        }
    }

    /// Forgets everything; an answer still on its way goes nowhere.
    pub(super) fn forget(&mut self) {
        *self = Self {
            answers: self.answers,
            ..Self::new(self.on_ready.clone())
        };
    }

    /// Takes in what was found.
    pub(super) fn take_in(&mut self) {
        // Asked before the answers are taken in: one may come between the two.
        let ended = self.running.as_ref().map(|(_, task)| !task.is_running());
        while let Some((asked, answer)) = self.tasks.poll() {
            if self.on_its_way() == Some(&asked) {
                self.running = None;
                self.answers += 1;
                self.answered = Some((asked, answer));
            }
        }
        if ended == Some(true)
            && let Some((asked, _)) = self.running.take()
        {
            (self.failed, self.answered) = (Some(asked), None);
        }
    }

    /// Whether a worker should be sent for the answer to this.
    pub(super) fn is_due(&self, asked: &Q) -> bool {
        let answered = self.answered().map(|(asked, _)| asked);
        let known = self.on_its_way().or(answered).or(self.failed.as_ref());
        known != Some(asked)
    }

    /// Sends a worker for an answer, and calls back the one before. `None` is for a worker that
    /// was called back.
    pub(super) fn ask(
        &mut self,
        asked: Q,
        name: &str,
        work: impl FnOnce(&Q, &Control<(Q, A)>) -> Option<A> + Send + 'static,
    ) {
        let sought = asked.clone();
        let task = self.tasks.start(name, move |control| {
            if let Some(answer) = work(&sought, control)
                && control.flow().is_continue()
            {
                control.send((sought, answer));
            }
        });
        self.failed = None;
        self.running = Some((asked, task));
    }

    /// The question that is on its way to an answer.
    pub(super) fn on_its_way(&self) -> Option<&Q> {
        self.running.as_ref().map(|(asked, _)| asked)
    }

    /// Whether a worker could not answer.
    pub(super) fn has_failed(&self) -> bool {
        self.failed.is_some()
    }

    /// Grows with every answer, so that what is made of one is known to be of it.
    pub(super) fn answers(&self) -> u64 {
        self.answers
    }

    /// The last answer, and to what.
    pub(super) fn answered(&self) -> Option<&(Q, A)> {
        self.answered.as_ref()
    }
}

/// The yard as workers see it: copied once for each change, however many of them ask. A copy of
/// 30,000 rides takes half a frame, so that of before is brought up to date where no worker looks
/// at it any more.
#[derive(Debug, Default)]
pub(super) struct Snapshot(Option<(u64, Arc<Yard>)>);

impl Snapshot {
    /// The yard as it is now; `revision` grows with every change of it.
    pub(super) fn of(&mut self, yard: &Yard, revision: u64) -> Arc<Yard> {
        let copy = match self.0.take() {
            Some((own, copy)) if own == revision => copy,
            Some((_, mut copy)) => match Arc::get_mut(&mut copy) {
                Some(own) => {
                    own.follow(yard);
                    copy
                }
                None => Arc::new(yard.clone()),
            },
            None => Arc::new(yard.clone()),
        };
        self.0 = Some((revision, Arc::clone(&copy)));
        copy
    }
}

/// What a worker keeps for the next one. One that failed may have left it half changed: then it is
/// begun anew.
pub(super) fn anew_if_left_open<T: Default>(kept: &Mutex<T>) -> MutexGuard<'_, T> {
    kept.lock().unwrap_or_else(|left| {
        kept.clear_poison();
        let mut kept = left.into_inner();
        *kept = T::default();
        kept
    })
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::mpsc::channel;
    use std::thread::yield_now;

    use super::*;

    fn asking() -> Asking<u32, &'static str> {
        Asking::new(Arc::new(|| ()))
    }

    fn settled(asking: &mut Asking<u32, &'static str>) {
        while asking.on_its_way().is_some() {
            asking.take_in();
            yield_now();
        }
    }

    #[test]
    fn an_answer_stays_until_something_else_is_asked() {
        let mut asking = asking();
        assert!(asking.is_due(&1));
        asking.ask(1, "one", |_, _| Some("one"));
        assert!(!asking.is_due(&1) && asking.is_due(&2));
        settled(&mut asking);
        assert_eq!(asking.answered(), Some(&(1, "one")));
        assert!(!asking.is_due(&1) && asking.is_due(&2));
    }

    #[test]
    fn a_late_answer_of_another_yard_is_not_taken() {
        let mut asking = asking();
        let (go, wait) = channel::<()>();
        asking.ask(1, "old", move |_, _| {
            let _gone = wait.recv();
            Some("old")
        });
        asking.forget();
        asking.ask(1, "new", |_, _| Some("new"));
        go.send(()).expect("the old worker waits");
        settled(&mut asking);
        for _ in 0..1_000 {
            asking.take_in();
        }
        assert_eq!(asking.answered(), Some(&(1, "new")));
    }

    #[test]
    fn a_worker_that_fails_is_told_and_not_sent_again() {
        let mut asking = asking();
        asking.ask(1, "fails", |_, _| panic!("as a test of it"));
        settled(&mut asking);
        assert!(asking.has_failed() && asking.answered().is_none());
        assert!(!asking.is_due(&1) && asking.is_due(&2));
        asking.ask(2, "answers", |_, _| Some("two"));
        settled(&mut asking);
        assert!(!asking.has_failed());
    }

    #[test]
    fn what_was_left_open_is_begun_anew() {
        let kept = Arc::new(Mutex::new(vec![1]));
        let held = kept.clone();
        let failed = std::thread::spawn(move || {
            let mut kept = held.lock().expect("free");
            kept.push(2);
            panic!("as a test of it");
        });
        assert!(failed.join().is_err());
        assert!(anew_if_left_open(&kept).is_empty());
        assert!(!kept.is_poisoned());
    }
}
