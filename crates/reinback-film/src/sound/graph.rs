//! The two chains of libav's filters that sound passes through: to stereo at
//! the wished rate, and to another tempo at the same pitch.

use ffmpeg_the_third as av;

use av::format::sample::{Sample, Type};
use av::frame::Audio;
use av::{ChannelLayout, ChannelLayoutMask, ChannelOrder};

use super::Stereo;
use crate::libav;

/// What must stay the same for one chain to go on.
#[derive(Clone, PartialEq)]
pub(crate) struct Shape {
    rate: u32,
    format: Sample,
    layout: String,
}

impl Shape {
    pub(crate) fn of(frame: &Audio) -> Self {
        let layout = frame.ch_layout();
        let layout = if layout.order() == ChannelOrder::Unspecified {
            ChannelLayout::default_for_channels(layout.channels()).description()
        } else {
            layout.description()
        };
        Self {
            rate: frame.rate(),
            format: frame.format(),
            layout,
        }
    }

    /// Samples a second; above zero.
    pub(crate) fn rate(&self) -> u32 {
        self.rate.max(1)
    }
}

/// A chain of filters from sound to stereo floats.
pub(crate) struct Graph {
    graph: av::filter::Graph,
    out: Audio,
}

impl Graph {
    /// To stereo at `rate`.
    pub(crate) fn to_stereo(shape: &Shape, rate: u32) -> Result<Self, av::Error> {
        let chain = format!("aformat=sample_fmts=flt:sample_rates={rate}:channel_layouts=stereo");
        Self::new(shape, &chain)
    }

    /// From stereo at `rate` to the same `speed` times as fast, 0.5 to 2, at
    /// the same pitch.
    pub(crate) fn tempo(rate: u32, speed: f64) -> Result<Self, av::Error> {
        let shape = Shape {
            rate,
            format: Sample::F32(Type::Packed),
            layout: "stereo".to_owned(),
        };
        let chain = format!("atempo={speed},aformat=sample_fmts=flt:channel_layouts=stereo");
        Self::new(&shape, &chain)
    }

    fn new(shape: &Shape, chain: &str) -> Result<Self, av::Error> {
        let filter = |name| av::filter::find(name).ok_or(av::Error::FilterNotFound);
        let mut graph = av::filter::Graph::new();
        // Some thousand samples at once are not worth threads.
        libav::on_this_thread(&mut graph);
        let arguments = format!(
            "time_base=1/{rate}:sample_rate={rate}:sample_fmt={}:channel_layout={}",
            shape.format.name(),
            shape.layout,
            rate = shape.rate(),
        );
        graph.add(&filter("abuffer")?, "in", &arguments)?;
        graph.add(&filter("abuffersink")?, "out", "")?;
        graph.output("in", 0)?.input("out", 0)?.parse(chain)?;
        graph.validate()?;
        Ok(Self {
            graph,
            out: Audio::empty(),
        })
    }

    /// Takes a frame in.
    pub(crate) fn feed(&mut self, frame: &Audio) -> Result<(), av::Error> {
        match self.graph.get("in") {
            Some(mut source) => source.source().add(frame),
            None => Err(av::Error::FilterNotFound),
        }
    }

    /// Takes stereo samples in, at the chain's rate.
    pub(crate) fn feed_stereo(&mut self, samples: &[Stereo], rate: u32) -> Result<(), av::Error> {
        if samples.is_empty() {
            return Ok(());
        }
        let format = Sample::F32(Type::Packed);
        let mut frame = Audio::new(format, samples.len(), ChannelLayoutMask::STEREO);
        frame.set_rate(rate);
        for (to, [left, right]) in frame.plane_mut::<(f32, f32)>(0).iter_mut().zip(samples) {
            *to = (*left, *right);
        }
        self.feed(&frame)
    }

    /// Says that nothing follows, so that the chain gives out what it holds.
    pub(crate) fn finish(&mut self) {
        if let Some(mut source) = self.graph.get("in")
            && let Err(error) = source.source().flush()
        {
            log::debug!("the sound's end was not taken: {error}");
        }
    }

    /// Appends what has come out. What is no number becomes silence.
    pub(crate) fn drain(&mut self, into: &mut Vec<Stereo>) {
        let sound = |value: f32| if value.is_finite() { value } else { 0.0 };
        loop {
            let Some(mut sink) = self.graph.get("out") else {
                return;
            };
            if sink.sink().frame(&mut self.out).is_err() {
                return;
            }
            if self.out.samples() > 0 && self.out.planes() > 0 {
                let samples = self.out.plane::<(f32, f32)>(0).iter();
                into.extend(samples.map(|(left, right)| [sound(*left), sound(*right)]));
            }
            // A frame must let go of its samples before it is used again.
            self.out = Audio::empty();
        }
    }
}
