/**
 * Decoders ffmpeg may open, by its own names: those of sound, with the system's and other libraries' beside its own. A name
 * that an ffmpeg does not know does no harm. Pictures are left out above all: a cover of 15,000 by 15,000 dots takes 700 MB.
 * From `ffmpeg -decoders` of 5.1, what the containers of {@link decodeWithFfmpeg} hold in practice.
 */
export const SOUND_CODERS =
  `aac aac_fixed aac_latm aac_at libfdk_aac ac3 ac3_fixed ac3_at eac3 eac3_at dca truehd
  alac alac_at amrnb amrwb amr_nb_at libopencore_amrnb libopencore_amrwb evrc qcelp ilbc libilbc gsm gsm_ms
  libgsm libgsm_ms speex libspeex g722 g723_1 g726 g726le g729 ape wavpack tta tak flac shorten als
  mp1 mp1float mp2 mp2float mp3 mp3float mp3adu mp3adufloat mp3on4 mp3on4float mp1_at mp2_at mp3_at mpc7 mpc8
  opus libopus vorbis libvorbis wmav1 wmav2 wmapro wmalossless wmavoice xma1 xma2 cook atrac1 atrac3 atrac3plus
  mace3 mace6 qdm2 qdmc qdm2_at nellymoser truespeech metasound s302m dvaudio
  adpcm_ima_wav adpcm_ima_qt adpcm_ima_dk3 adpcm_ima_dk4 adpcm_ima_oki adpcm_ms adpcm_yamaha adpcm_swf adpcm_ct
  adpcm_g722 adpcm_g726 adpcm_g726le pcm_alaw pcm_alaw_at pcm_mulaw pcm_mulaw_at pcm_vidc pcm_bluray pcm_dvd
  pcm_f16le pcm_f24le pcm_f32be pcm_f32le pcm_f64be pcm_f64le pcm_s8 pcm_s8_planar pcm_s16be pcm_s16be_planar
  pcm_s16le pcm_s16le_planar pcm_s24be pcm_s24le pcm_s24le_planar pcm_s24daud pcm_s32be pcm_s32le pcm_s32le_planar
  pcm_s64be pcm_s64le pcm_u8 pcm_u16be pcm_u16le pcm_u24be pcm_u24le pcm_u32be pcm_u32le pcm_lxf`.split(/\s+/)
