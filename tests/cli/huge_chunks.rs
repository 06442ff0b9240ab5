//! `photo` on files whose colour profile or words unpack, or claim to unpack, to gigabytes: read with 1 GiB of
//! address space, of which they would take all.
#![cfg(target_os = "linux")]

use crate::kit::Answer;
use image::{ExtendedColorType, ImageEncoder, codecs};
use std::{path::Path, process::Command};

/// Address space of the program, KiB.
const ROOM: u64 = 1 << 20;
/// Bytes that a chunk unpacks to: twice that room, at the least.
const UNPACKED: usize = 2 << 30;

/// Reads a file with so much address space, KiB.
fn read_within(room: u64, file: &Path) -> Answer {
    let output = Command::new("sh")
        .args(["-c", "ulimit -v $0 && exec \"$@\"", &room.to_string()])
        .arg(env!("CARGO_BIN_EXE_rackshade"))
        .args(["photo", "--rows", "2", "--cols", "2"])
        .arg(file)
        .output()
        .unwrap();
    Answer::of(output)
}

/// A length as PNG and ICC write it.
fn word(n: usize) -> [u8; 4] {
    u32::try_from(n).unwrap().to_be_bytes()
}

/// CRC-32 as W3C PNG, annex D, has it.
fn crc(bytes: &[u8]) -> u32 {
    let table: Vec<u32> = (0..256_u32)
        .map(|i| (0..8).fold(i, |c, _| (c >> 1) ^ (0xEDB8_8320 * (c & 1))))
        .collect();
    !bytes.iter().fold(!0, |c, b| {
        table[usize::from(c.to_le_bytes()[0] ^ b)] ^ (c >> 8)
    })
}

/// `UNPACKED` zeros and a little more, deflated (RFC 1950, 1951): a literal, then copies of 258 bytes from one byte
/// before, thirteen bits each, by the fixed codes.
fn packed_zeros() -> Vec<u8> {
    let rounds = UNPACKED / (8 * 258) + 1;
    let code = |bits: &str| bits.bytes().map(|b| b == b'1').collect::<Vec<_>>();
    let mut bits = code("11000110000");
    let copy = code("1100010100000");
    (0..16).for_each(|_| bits.extend(&copy));
    let bytes: Vec<u8> = bits
        .chunks_exact(8)
        .map(|eight| eight.iter().rev().fold(0, |b, bit| b << 1 | u8::from(*bit)))
        .collect();
    // eight copies fill thirteen bytes, so the bytes go round
    let mut out = vec![0x78, 1, bytes[0], bytes[1]];
    (0..rounds).for_each(|_| out.extend(&bytes[2..15]));
    // what is left of the last copy, the end of the block, and the Adler-32 of zeros
    let zeros = (1 + rounds * 8 * 258) % 65_521;
    let last = out.pop().unwrap();
    out.extend([last, 0, 0]);
    out.extend((u32::try_from(zeros).unwrap() << 16 | 1).to_be_bytes());
    out
}

/// A profile that claims curves and tables of gigabytes (ICC.1:2022, 7 and 10).
fn boasting_profile() -> Vec<u8> {
    let mut tags = Vec::new();
    let mut data = Vec::new();
    for name in [b"rTRC", b"gTRC", b"bTRC", b"A2B0", b"desc"] {
        let at = 128 + 4 + 5 * 12 + data.len();
        let body: Vec<u8> = match name {
            b"A2B0" => [&b"mft2\0\0\0\0"[..], &[15, 15, 255, 0], &[0xFF; 52]].concat(),
            b"desc" => [&b"mluc\0\0\0\0"[..], &[0xFF; 56]].concat(),
            _ => [&b"curv\0\0\0\0"[..], &[0xFF, 0xFF, 0xFF, 0xF0], &[0; 52]].concat(),
        };
        tags.extend_from_slice(name);
        tags.extend(word(at));
        tags.extend(word(body.len()));
        data.extend(body);
    }
    let size = 128 + 4 + tags.len() + data.len();
    let mut out = vec![0; 128];
    out[..4].copy_from_slice(&word(size));
    out[8..12].copy_from_slice(&[4, 0x40, 0, 0]);
    out[12..24].copy_from_slice(b"mntrRGB XYZ ");
    out[36..40].copy_from_slice(b"acsp");
    out.extend(5_u32.to_be_bytes());
    out.extend(tags);
    out.extend(data);
    out
}

fn grey_square(encoder: impl ImageEncoder) {
    encoder
        .write_image(&vec![128; 200 * 200 * 3], 200, 200, ExtendedColorType::Rgb8)
        .unwrap();
}

fn png_with(name: &[u8; 4], head: &[u8], packed: &[u8]) -> Vec<u8> {
    let mut png = Vec::new();
    grey_square(codecs::png::PngEncoder::new(&mut png));
    let body = [&name[..], head, packed].concat();
    let mut chunk = word(body.len() - 4).to_vec();
    chunk.extend(&body);
    chunk.extend(crc(&body).to_be_bytes());
    // after the signature and the header
    png.splice(33..33, chunk);
    png
}

fn jpeg_with(profile: &[u8]) -> Vec<u8> {
    let mut jpeg = Vec::new();
    grey_square(codecs::jpeg::JpegEncoder::new(&mut jpeg));
    let mut segment = vec![0xFF, 0xE2];
    segment.extend((u16::try_from(profile.len()).unwrap() + 16).to_be_bytes());
    segment.extend(b"ICC_PROFILE\0\x01\x01");
    segment.extend(profile);
    jpeg.splice(2..2, segment);
    jpeg
}

/// RFC 9649, 2.7: a header that promises a profile, the profile, the picture.
fn webp_with(profile: &[u8], claimed: u32) -> Vec<u8> {
    let small = include_bytes!("../data/photos/small.webp");
    let at = small.windows(4).position(|w| w == b"VP8 ").unwrap();
    let mut body = b"WEBPVP8X\x0a\0\0\0\x20\0\0\0".to_vec();
    body.extend([0x8F, 1, 0, 0x2B, 1, 0]); // 400 x 300
    body.extend(b"ICCP");
    body.extend(claimed.to_le_bytes());
    body.extend(profile);
    body.extend(&small[at..]);
    let mut webp = b"RIFF".to_vec();
    webp.extend(u32::try_from(body.len()).unwrap().to_le_bytes());
    webp.extend(body);
    webp
}

#[test]
fn what_unpacks_to_gigabytes_is_left_packed() {
    let folder = tempfile::tempdir().unwrap();
    let packed = packed_zeros();
    let boast = boasting_profile();
    let length = u32::try_from(boast.len()).unwrap();
    let files = [
        ("iCCP", png_with(b"iCCP", b"a\0\0", &packed)),
        ("zTXt", png_with(b"zTXt", b"a\0\0", &packed)),
        ("iTXt", png_with(b"iTXt", b"a\0\x01\0\0\0", &packed)),
        ("png", png_with(b"iCCP", b"a\0\0", &stored(&boast))),
        ("jpeg", jpeg_with(&boast)),
        ("webp", webp_with(&boast, length)),
        ("webp, claimed", webp_with(&boast, u32::MAX - 40)),
    ];
    for (name, bytes) in files {
        let file = folder.path().join("photo");
        std::fs::write(&file, bytes).unwrap();
        let answer = read_within(ROOM, &file);
        // a grey square holds no bread: what counts is that the program lives to say so
        assert!(matches!(answer.code, Some(0 | 2)), "{name}: {}", answer.err);
        assert!(!answer.err.contains("panicked"), "{name}: {}", answer.err);
    }
    // and the room is a room: without any, nothing runs
    let file = folder.path().join("photo");
    assert!(!matches!(read_within(1000, &file).code, Some(0 | 2)));
}

/// A zlib stream of one block that is not packed (RFC 1951, 3.2.4).
fn stored(bytes: &[u8]) -> Vec<u8> {
    let length = u16::try_from(bytes.len()).unwrap();
    let mut out = vec![0x78, 1, 1];
    out.extend(length.to_le_bytes());
    out.extend((!length).to_le_bytes());
    out.extend(bytes);
    let (a, b) = bytes.iter().fold((1_u32, 0_u32), |(a, b), byte| {
        let a = (a + u32::from(*byte)) % 65_521;
        (a, (a + b) % 65_521)
    });
    out.extend((b << 16 | a).to_be_bytes());
    out
}
