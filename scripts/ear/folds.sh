#!/bin/sh
# The four fold ears and the ear to ship, side by side on the cards there are:
#
#   sh scripts/ear/folds.sh BEGIN OUT_FOLDER MINUTES [RATE] [SEED] [MORE OPTIONS OF train.py]
#
# BEGIN: weights that have heard no recording (BASE.pt), or a folder in which every ear has weights of its own, fold0.pt to fold3.pt and
# ship.pt, as unpack.py makes them: a fold goes on from an ear that never heard it. Each run takes the recordings but those of its
# fold; SEED + fold seeds it, SEED + 9 the one to ship. None of the options may hold a blank. With --makers 3 one run fills a card: where two share one, each makes half the steps.
set -eu
begin=$1 out=$2 minutes=$3 rate=${4:-1.2e-3} seed=${5:-20}
[ $# -le 5 ] || { shift 5; more=$*; }
here=$(dirname "$0")
cards=$(python3 -c 'import torch; print(max(1, torch.cuda.device_count()))')
train() {
  name=$1 number=$2
  shift 2
  init=$begin
  [ ! -d "$begin" ] || init=$begin/$name.pt
  CUDA_VISIBLE_DEVICES=$((number % cards)) python3 "$here/train.py" "$out/$name.pt" --init "$init" --minutes "$minutes" --rate "$rate" \
    --seed $((seed + number)) --sounds .ear-data/sounds.npz --recordings .ear-data/recordings.npz ${more:-} "$@" >"$out/$name.log" 2>&1 &
}
mkdir -p "$out"
for fold in 0 1 2 3; do train "fold$fold" "$fold" --without-fold "$fold"; done
train ship 9
wait
tail -n 2 "$out"/*.log
