"""AMR-NB there and back by Debian's libopencore-amrnb0, every frame coded as speech as recorders do.

Usage: amr.py MODE, 0 for 4.75 to 7 for 12.2 kbit/s; 16-bit samples at 8,000 Hz from standard input to standard output.
"""
import ctypes
import sys

FRAME = 160  # 20 ms


def main(mode):
    library = ctypes.CDLL("libopencore-amrnb.so.0")
    library.Encoder_Interface_init.restype = ctypes.c_void_p
    library.Decoder_Interface_init.restype = ctypes.c_void_p
    encoder = ctypes.c_void_p(library.Encoder_Interface_init(0))  # 0: no pauses
    decoder = ctypes.c_void_p(library.Decoder_Interface_init())
    sound = sys.stdin.buffer.read()
    coded = ctypes.create_string_buffer(64)
    samples = (ctypes.c_short * FRAME)()
    for start in range(0, len(sound), 2 * FRAME):
        frame = sound[start : start + 2 * FRAME].ljust(2 * FRAME, b"\0")
        ctypes.memmove(samples, frame, 2 * FRAME)
        library.Encoder_Interface_Encode(encoder, mode, samples, coded, 1)
        library.Decoder_Interface_Decode(decoder, coded, samples, 0)
        sys.stdout.buffer.write(samples)


if __name__ == "__main__":
    main(int(sys.argv[1]))
