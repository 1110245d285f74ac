//! Bytes of a recording to what was heard.

use std::fs::File;
use std::io::{Cursor, Read as _, Seek as _};
use std::path::Path;
use std::sync::mpsc::{channel, sync_channel};

use symphonia::core::codecs::audio::{AudioDecoder, AudioDecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, TrackType};
use symphonia::core::io::{MediaSource, MediaSourceStream};
use symphonia::core::meta::MetadataOptions;
use tooth_measure::Frequency;
use tooth_measure::say::{Said, said};
use tooth_sounding::{Band, Banded, Heard, Listener};

use crate::limits;
use crate::text::Fault;

/// A recording as it was heard.
#[derive(Debug, Clone)]
pub struct Recording {
    /// What was heard.
    pub heard: Heard,
    /// What to look at, though it was read.
    pub warnings: Vec<Fault>,
}

/// Packets in a row that may be damaged.
const DAMAGED_IN_A_ROW: usize = 500;
/// Time missing between two pieces that is filled with silence, in seconds, at most.
const LONGEST_GAP: u64 = 60;
/// Samples are handed on in pieces of so many.
const PIECE: usize = 1 << 15;
/// Of channels that add up to so little of their own power, one undoes the other.
const CANCELLED: f64 = 0.05;
/// Pieces of samples that wait to be heard.
const WAITING: usize = 16;

fn kinds() -> Said {
    said!("a-recording-of-a-kind-that-is-read")
}

/// Decodes and hears a recording.
///
/// # Errors
///
/// One fault that says what is wrong with the file.
pub fn hear(path: &Path) -> Result<Recording, Fault> {
    hear_file(path, Listener::new)
}

/// Decodes and hears a sweep: a dragged chain or a rubbing stone.
///
/// # Errors
///
/// As [`hear`].
pub fn hear_sweep(path: &Path) -> Result<Recording, Fault> {
    hear_file(path, Listener::sweeping)
}

fn hear_file(path: &Path, ear: fn(Frequency) -> Listener) -> Result<Recording, Fault> {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    let refuse = |expected: Said, found: Said| Fault::new(&name, None, "", expected, found);
    let mut file = File::open(path).map_err(|error| {
        refuse(said!("a-readable-file"), format!("`{}`: {error}", path.display()).into())
    })?;
    let data = file
        .metadata()
        .map_err(|error| refuse(said!("a-readable-file"), error.to_string().into()))?;
    if !data.is_file() {
        return Err(refuse(kinds(), said!("no-plain-file")));
    }
    if data.len() == 0 {
        return Err(refuse(kinds(), said!("an-empty-file")));
    }
    let mut head = Vec::new();
    let read = (&mut file).take(HEAD).read_to_end(&mut head).and_then(|_| file.rewind());
    read.map_err(|error| refuse(said!("a-readable-file"), error.to_string().into()))?;
    hear_guarded(&name, &head, Box::new(file), ear)
}

/// Bytes of a file that are looked at before it is decoded.
const HEAD: u64 = 4096;

/// Hears what a decoder cannot be brought down by; were it by something else, the answer is
/// still a clear one.
fn hear_guarded(
    name: &str,
    head: &[u8],
    source: Box<dyn MediaSource>,
    ear: fn(Frequency) -> Listener,
) -> Result<Recording, Fault> {
    if let Some(channels) = channels_of_wave(head)
        && !limits::CHANNELS.contains(&channels)
    {
        let (low, high) = (limits::CHANNELS.start(), limits::CHANNELS.end());
        let expected = said!("channels-from-to", low = *low, high = *high);
        return Err(Fault::new(name, None, "", expected, channels.to_string()));
    }
    // The decoder holds nothing that outlives this call.
    let heard = std::panic::AssertUnwindSafe(|| hear_source(name, source, ear));
    std::panic::catch_unwind(heard).unwrap_or_else(|_| {
        Err(Fault::new(name, None, "", kinds(), said!("a-file-that-the-decoder-fails-on")))
    })
}

/// Channels that the head of a WAV file states; none of another kind of file.
fn channels_of_wave(head: &[u8]) -> Option<u16> {
    let is_wave = matches!(head.get(..4)?, b"RIFF" | b"RF64") && head.get(8..12)? == b"WAVE";
    let mut rest = if is_wave { head.get(12..)? } else { return None };
    loop {
        let length = u32::from_le_bytes(rest.get(4..8)?.try_into().ok()?);
        if rest.get(..4)? == b"fmt " {
            return Some(u16::from_le_bytes(rest.get(10..12)?.try_into().ok()?));
        }
        let padded = u64::from(length) + u64::from(length % 2);
        rest = rest.get(usize::try_from(padded).ok()?.checked_add(8)?..)?;
    }
}

/// Decodes and hears the bytes of a recording.
///
/// # Errors
///
/// One fault that says what is wrong with them.
pub fn hear_bytes(name: &str, bytes: Vec<u8>) -> Result<Recording, Fault> {
    if bytes.is_empty() {
        return Err(Fault::new(name, None, "", kinds(), said!("an-empty-file")));
    }
    let head = bytes[..bytes.len().min(HEAD as usize)].to_vec();
    hear_guarded(name, &head, Box::new(Cursor::new(bytes)), Listener::new)
}

fn hear_source(
    name: &str,
    source: Box<dyn MediaSource>,
    ear: fn(Frequency) -> Listener,
) -> Result<Recording, Fault> {
    let refuse = |expected: Said, found: Said| Fault::new(name, None, "", expected, found);
    let mut hint = Hint::new();
    if let Some((_, extension)) = name.rsplit_once('.') {
        hint.with_extension(extension);
    }
    let stream = MediaSourceStream::new(source, Default::default());
    let mut reader = symphonia::default::get_probe()
        .probe(&hint, stream, FormatOptions::default(), MetadataOptions::default())
        .map_err(|error| refuse(kinds(), unreadable(&error)))?;
    let (track, mut decoder) = decoder(reader.as_ref()).map_err(|found| refuse(kinds(), found))?;
    let mut ends = Ends::default();
    let heard = std::thread::scope(|scope| {
        // Decoding, filtering and listening each at their own pace; buffers go round.
        let (send, receive) = sync_channel::<(u32, Vec<f32>)>(WAITING);
        let (send_filtered, receive_filtered) = sync_channel::<(u32, Banded)>(WAITING);
        let (give_back, spare) = channel::<Vec<f32>>();
        let (give_filtered_back, spare_filtered) = channel::<Banded>();
        let filtering = scope.spawn(move || {
            let mut band: Option<Band> = None;
            while let Ok((rate, samples)) = receive.recv() {
                let band = band.get_or_insert_with(|| ear(frequency(rate)).band());
                let mut filtered = spare_filtered.try_recv().unwrap_or_default();
                band.filter(&samples, &mut filtered);
                // Fails where nobody needs one any more.
                drop(give_back.send(samples));
                if send_filtered.send((rate, filtered)).is_err() {
                    break;
                }
            }
            band
        });
        let listening = scope.spawn(move || {
            let mut listener: Option<Listener> = None;
            while let Ok((rate, piece)) = receive_filtered.recv() {
                listener.get_or_insert_with(|| ear(frequency(rate))).hear_filtered(&piece);
                drop(give_filtered_back.send(piece));
            }
            listener
        });
        let mut piece: (u32, Vec<f32>) = (0, Vec::new());
        let decoded =
            decode(reader.as_mut(), decoder.as_mut(), track, &mut ends, |rate, samples| {
                piece.0 = rate;
                piece.1.extend_from_slice(samples);
                if piece.1.len() < PIECE {
                    return true;
                }
                let mut next = spare.try_recv().unwrap_or_default();
                next.clear();
                send.send(std::mem::replace(&mut piece, (rate, next))).is_ok()
            });
        if !piece.1.is_empty() {
            // Fails where the listener did, which its own end says.
            drop(send.send(piece));
        }
        drop(send);
        let heard = match (filtering.join(), listening.join()) {
            (Ok(band), Ok(listener)) => {
                Ok(band.zip(listener).map(|(band, listener)| listener.finish_filtered(band)))
            }
            _ => Err(()),
        };
        decoded.map_err(|(expected, found)| refuse(expected, found))?;
        heard.map_err(|()| refuse(kinds(), said!("samples-that-could-not-be-heard")))
    })?;
    let Some(heard) = heard else {
        return Err(refuse(said!("a-recording-with-samples"), said!("none")));
    };
    let mut warnings = Vec::new();
    if ends.damaged > 0 {
        let found = said!("damaged-pieces-left-out", count = ends.damaged);
        warnings.push(Fault::warning(name, said!("a-whole-recording"), found));
    }
    if ends.missing > 0 {
        let found = said!("samples-missing", count = ends.missing);
        warnings.push(Fault::warning(name, said!("a-whole-recording"), found));
    }
    if ends.no_numbers > 0 {
        let found = said!("samples-that-are-no-numbers", count = ends.no_numbers);
        warnings.push(Fault::warning(name, said!("samples-that-are-numbers"), found));
    }
    if ends.power_of_mean < CANCELLED * ends.mean_of_powers {
        let expected = said!("channels-that-add-up");
        let found = said!("channels-that-undo-each-other-record-with-one-microphone");
        warnings.push(Fault::warning(name, expected, found));
    }
    if ends.cut_short {
        warnings.push(Fault::warning(
            name,
            said!("a-whole-recording"),
            said!("one-that-breaks-off"),
        ));
    }
    Ok(Recording { heard, warnings })
}

fn frequency(rate: u32) -> Frequency {
    Frequency::from_hertz(f64::from(rate))
}

/// How a recording went.
#[derive(Debug, Default)]
struct Ends {
    damaged: usize,
    cut_short: bool,
    /// Samples that no piece held.
    missing: u64,
    /// Samples that are no numbers.
    no_numbers: u64,
    /// Of several channels.
    power_of_mean: f64,
    mean_of_powers: f64,
}

fn decoder(reader: &dyn FormatReader) -> Result<(u32, Box<dyn AudioDecoder>), Said> {
    let track = reader
        .default_track(TrackType::Audio)
        .or_else(|| reader.first_track(TrackType::Audio))
        .ok_or_else(|| said!("a-file-without-sound"))?;
    let parameters = track
        .codec_params
        .as_ref()
        .and_then(|parameters| parameters.audio())
        .ok_or_else(|| said!("a-file-without-sound"))?;
    let decoder = symphonia::default::get_codecs()
        .make_audio_decoder(parameters, &AudioDecoderOptions::default())
        .map_err(|error| unreadable(&error))?;
    Ok((track.id, decoder))
}

/// Hands on the mean of the channels, piece by piece, until the end or until `take` has
/// enough.
fn decode(
    reader: &mut dyn FormatReader,
    decoder: &mut dyn AudioDecoder,
    track: u32,
    ends: &mut Ends,
    mut take: impl FnMut(u32, &[f32]) -> bool,
) -> Result<(), (Said, Said)> {
    let mut interleaved: Vec<f32> = Vec::new();
    let mut mixed: Vec<f32> = Vec::new();
    let mut frames: u64 = 0;
    let mut first_rate = None;
    let mut damaged_now = 0;
    // Where pieces are counted in samples, they say where one is missing.
    let base = reader.tracks().iter().find(|of| of.id == track).and_then(|of| of.time_base);
    let mut next: Option<i64> = None;
    loop {
        let packet = match reader.next_packet() {
            Ok(Some(packet)) => packet,
            Ok(None) => return Ok(()),
            // A recorder that lost its power leaves a file that breaks off.
            Err(error) if frames > 0 => {
                ends.damaged += usize::from(!matches!(error, Error::IoError(_)));
                ends.cut_short = true;
                return Ok(());
            }
            Err(error) => return Err((kinds(), unreadable(&error))),
        };
        if packet.track_id != track {
            continue;
        }
        let buffer = match decoder.decode(&packet) {
            Ok(buffer) => buffer,
            Err(Error::DecodeError(_) | Error::IoError(_)) => {
                ends.damaged += 1;
                damaged_now += 1;
                if damaged_now > DAMAGED_IN_A_ROW {
                    return Err((kinds(), said!("nothing-but-damaged-pieces")));
                }
                continue;
            }
            Err(error) => return Err((kinds(), unreadable(&error))),
        };
        damaged_now = 0;
        let rate = buffer.spec().rate();
        let channels = buffer.spec().channels().count();
        if channels == 0 || buffer.frames() == 0 {
            continue;
        }
        if !limits::SAMPLE_RATES.contains(&rate) {
            let (low, high) = (limits::SAMPLE_RATES.start(), limits::SAMPLE_RATES.end());
            return Err((
                said!("samples-a-second-from-to", low = *low, high = *high),
                rate.to_string().into(),
            ));
        }
        if *first_rate.get_or_insert(rate) != rate {
            return Err((said!("one-sample-rate"), said!("another-sample-rate", rate = rate)));
        }
        let in_samples = base.is_some_and(|base| base.numer.get() == 1 && base.denom.get() == rate);
        if in_samples {
            let start = packet.pts.get();
            let missing = next.map_or(0, |next| start.saturating_sub(next)).max(0) as u64;
            // Less than a piece is what encoders add and trim.
            if missing >= buffer.frames() as u64 && missing <= LONGEST_GAP * u64::from(rate) {
                ends.missing += missing;
                frames += missing;
                let mut left = missing;
                while left > 0 {
                    let now = left.min(PIECE as u64);
                    left -= now;
                    if !take(rate, &[0.0; PIECE][..now as usize]) {
                        return Ok(());
                    }
                }
            }
            next = start.checked_add(buffer.frames() as i64);
        }
        frames += buffer.frames() as u64;
        if frames > limits::RECORDING_HOURS * 3600 * u64::from(rate) {
            let expected = said!("at-most-hours", most = limits::RECORDING_HOURS);
            return Err((expected, said!("a-longer-recording")));
        }
        buffer.copy_to_vec_interleaved(&mut interleaved);
        let samples = if channels == 1 {
            &interleaved
        } else {
            let share = 1.0 / channels as f32;
            mixed.clear();
            mixed.extend(
                interleaved.chunks_exact(channels).map(|frame| frame.iter().sum::<f32>() * share),
            );
            let power = |samples: &[f32]| -> f64 {
                samples.iter().filter(|x| x.is_finite()).map(|x| f64::from(x * x)).sum()
            };
            ends.power_of_mean += power(&mixed);
            ends.mean_of_powers += power(&interleaved) * f64::from(share);
            &mixed
        };
        ends.no_numbers += samples.iter().filter(|x| !x.is_finite()).count() as u64;
        if !take(rate, samples) {
            return Ok(());
        }
    }
}

fn unreadable(error: &Error) -> Said {
    match error {
        Error::Unsupported(what) => said!("a-kind-of-sound-that-is-not-read", what = *what),
        Error::IoError(_) => said!("a-file-that-ends-too-soon-or-none-of-these"),
        error => said!("a-damaged-file", error = error.to_string()),
    }
}
