#!/bin/sh
# The four fold ears and the ear to ship, side by side on the cards there are, from weights that have heard no recording:
#
#   sh scripts/ear/folds.sh BASE.pt OUT_FOLDER MINUTES [RATE] [SEED]
#
# Each run takes the recordings but those of its fold; SEED + fold seeds it, SEED + 9 the one to ship. Several runs share a card
# well: one alone leaves it idle for half of the time.
set -eu
base=$1 out=$2 minutes=$3 rate=${4:-1.2e-3} seed=${5:-20}
here=$(dirname "$0")
cards=$(python3 -c 'import torch; print(max(1, torch.cuda.device_count()))')
train() {
  CUDA_VISIBLE_DEVICES=$(($2 % cards)) python3 "$here/train.py" "$out/$1.pt" --init "$base" --minutes "$minutes" --rate "$rate" \
    --seed $((seed + $2)) --sounds .ear-data/sounds.npz --recordings .ear-data/recordings.npz ${3:-} ${4:-} >"$out/$1.log" 2>&1 &
}
mkdir -p "$out"
for fold in 0 1 2 3; do train "fold$fold" "$fold" --without-fold "$fold"; done
train ship 9
wait
tail -n 2 "$out"/*.log
