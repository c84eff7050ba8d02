//! The machine's own device for sound, opened and kept on a thread: opening one may take its
//! time, and on some systems a device may not leave the thread it was opened on.

use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{
    BufferSize, ErrorKind, FromSample, OutputCallbackInfo, SampleFormat, SizedSample, StreamConfig,
    SupportedBufferSize,
};
use reinback_film::sound::{SoundStream, Stereo};

use super::mixer::{Desk, Gain, Mixer, mixer};
use super::{Speaker, SpeakerState};
use crate::services::OnReady;

/// A device that has had nothing to play so long is given back.
const IDLE: Duration = Duration::from_secs(20);
/// Samples made at once.
const PIECE: usize = 256;
/// Seconds of sound the device is asked to take at once: as the picture follows what is heard, a
/// long way to the ear does no harm, and a busy machine does not run dry. Our own choice.
const BUFFER: f64 = 0.05;
/// A device that fails is opened again so many times before it counts as lost: another may have
/// taken its place, and some fail for good when a busy machine has let them run dry.
const TRIES: u32 = 3;
/// One that has worked so long has all its tries again.
const STEADY: Duration = Duration::from_secs(5);

enum Order {
    Wake,
    Play(SoundStream),
    /// The device opened as this number reports that it is gone.
    Lost(u64),
    /// The window needs no sound any more.
    Quit,
}

/// Plays on the system's default device.
pub struct Device {
    orders: Sender<Order>,
    state: State,
    gain: Gain,
}

/// What the device is doing, seen from both threads.
#[derive(Clone)]
struct State {
    now: Arc<Mutex<SpeakerState>>,
    on_ready: OnReady,
}

impl State {
    fn get(&self) -> SpeakerState {
        *self.now.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn set(&self, state: SpeakerState) {
        *self.now.lock().unwrap_or_else(PoisonError::into_inner) = state;
        (self.on_ready)();
    }
}

impl Device {
    /// A speaker whose device is not open yet; `on_ready` is called when its state changes.
    #[must_use]
    pub fn new(on_ready: OnReady) -> Self {
        let (orders, inbox) = channel();
        let state = State {
            now: Arc::default(),
            on_ready,
        };
        let gain = Gain::default();
        let thread = Thread {
            orders: orders.clone(),
            state: state.clone(),
            gain: gain.clone(),
            open: None,
            opened: 0,
            tries: 0,
        };
        let body = move || thread.run(&inbox);
        let spawned = std::thread::Builder::new()
            .name("speaker".into())
            .spawn(body);
        if let Err(error) = spawned {
            log::error!("no thread for the speaker: {error}");
            state.set(SpeakerState::NoDevice);
        }
        Self {
            orders,
            state,
            gain,
        }
    }
}

impl Drop for Device {
    fn drop(&mut self) {
        let _gone = self.orders.send(Order::Quit);
    }
}

impl Speaker for Device {
    fn state(&self) -> SpeakerState {
        self.state.get()
    }

    fn wake(&mut self) {
        // Without its thread there is no device, and the state says so.
        let _gone = self.orders.send(Order::Wake);
    }

    fn play(&mut self, stream: SoundStream) {
        let _gone = self.orders.send(Order::Play(stream));
    }

    fn set_gain(&mut self, gain: f32) {
        self.gain.set(gain);
    }
}

/// An open device; dropping it closes it.
struct Open {
    desk: Desk,
    since: Instant,
    _stream: cpal::Stream,
}

struct Thread {
    /// For the device's own reports.
    orders: Sender<Order>,
    state: State,
    gain: Gain,
    open: Option<Open>,
    /// Counts the openings.
    opened: u64,
    tries: u32,
}

impl Thread {
    fn run(mut self, inbox: &Receiver<Order>) {
        loop {
            let order = if self.open.is_some() {
                inbox.recv_timeout(IDLE)
            } else {
                inbox.recv().map_err(|_gone| RecvTimeoutError::Disconnected)
            };
            match order {
                Ok(Order::Wake) => {
                    self.tries = TRIES;
                    self.wake();
                }
                Ok(Order::Play(stream)) => {
                    // It may have been given back since the window last looked.
                    self.wake();
                    if let Some(open) = &mut self.open {
                        open.desk.play(stream);
                    }
                }
                Ok(Order::Lost(number)) if number == self.opened => self.lose(),
                // From one that has been let go of already.
                Ok(Order::Lost(_)) => {}
                Err(RecvTimeoutError::Timeout) => self.rest(),
                Ok(Order::Quit) | Err(RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    fn wake(&mut self) {
        if self.open.is_some() {
            return;
        }
        self.state.set(SpeakerState::Opening);
        self.opened += 1;
        match self.open() {
            Ok((open, rate)) => {
                log::debug!("the device for sound is open, {rate} samples a second");
                self.open = Some(open);
                self.state.set(SpeakerState::Ready(rate));
            }
            Err(error) => {
                log::info!("no device for sound: {error}");
                self.state.set(SpeakerState::NoDevice);
            }
        }
    }

    /// The device failed: opens it again, as long as there is hope.
    fn lose(&mut self) {
        let Some(open) = self.open.take() else {
            // A second report of the same loss.
            return;
        };
        if open.since.elapsed() > STEADY {
            self.tries = TRIES;
        }
        drop(open);
        if self.tries > 0 {
            self.tries -= 1;
            self.wake();
        }
        if self.open.is_none() {
            self.state.set(SpeakerState::Lost);
        }
    }

    fn rest(&mut self) {
        if self.open.as_ref().is_some_and(|open| !open.desk.is_busy()) {
            log::debug!("the device for sound is given back");
            self.open = None;
            self.state.set(SpeakerState::Asleep);
        }
    }

    fn open(&self) -> Result<(Open, u32), cpal::Error> {
        let device = cpal::default_host()
            .default_output_device()
            .ok_or_else(|| cpal::Error::new(ErrorKind::DeviceNotAvailable))?;
        let supported = device.default_output_config()?;
        let config: StreamConfig = supported.into();
        if let SupportedBufferSize::Range { min, max } = supported.buffer_size() {
            let wanted = (f64::from(config.sample_rate) * BUFFER) as u32;
            let buffer_size = BufferSize::Fixed(wanted.clamp(*min, (*max).max(*min)));
            let own = StreamConfig {
                buffer_size,
                ..config
            };
            match self.open_as(&device, own, supported.sample_format()) {
                Ok(open) => return Ok(open),
                // Some devices say that they take a size and refuse it.
                Err(error) => log::debug!("the device does not take {own:?}: {error}"),
            }
        }
        self.open_as(&device, config, supported.sample_format())
    }

    fn open_as(
        &self,
        device: &cpal::Device,
        config: StreamConfig,
        format: SampleFormat,
    ) -> Result<(Open, u32), cpal::Error> {
        let (desk, mixer) = mixer(config.sample_rate, self.gain.clone());
        let build = match format {
            SampleFormat::F32 => build::<f32>,
            SampleFormat::F64 => build::<f64>,
            SampleFormat::I8 => build::<i8>,
            SampleFormat::I16 => build::<i16>,
            SampleFormat::I32 => build::<i32>,
            SampleFormat::I64 => build::<i64>,
            SampleFormat::U8 => build::<u8>,
            SampleFormat::U16 => build::<u16>,
            SampleFormat::U32 => build::<u32>,
            SampleFormat::U64 => build::<u64>,
            _ => return Err(cpal::Error::new(ErrorKind::UnsupportedConfig)),
        };
        let (orders, number) = (self.orders.clone(), self.opened);
        let lost = move || {
            // Without the thread nobody waits for it.
            let _gone = orders.send(Order::Lost(number));
        };
        let stream = build(device, config, mixer, Box::new(lost))?;
        stream.play()?;
        let open = Open {
            desk,
            since: Instant::now(),
            _stream: stream,
        };
        Ok((open, config.sample_rate))
    }
}

fn build<T: SizedSample + FromSample<f32>>(
    device: &cpal::Device,
    config: StreamConfig,
    mut mixer: Mixer,
    lost: Box<dyn Fn() + Send>,
) -> Result<cpal::Stream, cpal::Error> {
    let channels = usize::from(config.channels.max(1));
    let rate = config.sample_rate.max(1);
    let fill = move |out: &mut [T], info: &OutputCallbackInfo| {
        let time = info.timestamp();
        let mut delay = time.playback.duration_since(time.callback);
        for piece in out.chunks_mut(PIECE * channels) {
            let mut both = [[0.0; 2]; PIECE];
            let count = piece.len() / channels;
            mixer.fill(&mut both[..count], Some(delay));
            spread(&both[..count], piece, channels);
            delay += Duration::from_secs_f64(count as f64 / f64::from(rate));
        }
    };
    let mut told = false;
    let failed = move |error: cpal::Error| match error.kind() {
        ErrorKind::Xrun | ErrorKind::DeviceChanged | ErrorKind::RealtimeDenied => {
            log::debug!("the device for sound: {error}");
        }
        _ if told => {}
        _ => {
            told = true;
            log::warn!("the device for sound failed: {error}");
            lost();
        }
    };
    device.build_output_stream(config, fill, failed, None)
}

/// Two ears onto as many channels as the device has: one gets the mean, further ones silence.
fn spread<T: SizedSample + FromSample<f32>>(both: &[Stereo], out: &mut [T], channels: usize) {
    let sample = |value: f32| T::from_sample(value.clamp(-1.0, 1.0));
    for (frame, [left, right]) in out.chunks_mut(channels).zip(both) {
        frame.fill(T::EQUILIBRIUM);
        match frame {
            [one] => *one = sample(f32::midpoint(*left, *right)),
            [first, second, ..] => (*first, *second) = (sample(*left), sample(*right)),
            [] => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_ears_go_onto_any_number_of_channels() {
        let both = [[0.5, -0.5], [1.0, 0.5], [2.0, -2.0]];
        for (channels, expected) in [
            (1, vec![0.0, 0.75, 0.0]),
            (2, vec![0.5, -0.5, 1.0, 0.5, 1.0, -1.0]),
            (3, vec![0.5, -0.5, 0.0, 1.0, 0.5, 0.0, 1.0, -1.0, 0.0]),
        ] {
            let mut out = vec![9.0_f32; 3 * channels];
            spread(&both, &mut out, channels);
            assert_eq!(out, expected, "{channels} channels");
        }
        let mut out = [0_u8; 6];
        spread(&both, &mut out, 2);
        assert_eq!(out, [192, 64, 255, 192, 255, 0]);
    }
}
