#!/bin/sh
# Reads market talk aloud with espeak-ng: usage `speech.sh FOLDER`, which gets talk-00.wav to talk-63.wav (22,050 Hz, mono).
# Eight languages with two texts and eight voices, pitches and speeds each. Needs Debian's espeak-ng, one version of which
# always writes the same files.
set -eu
out=${1:?usage: speech.sh FOLDER}
mkdir -p "$out"

sentences() {
  case $1 in
    en0) echo "Left at the market, then down the hill, and mind the tram lines, please. Twenty-five kilos of potatoes, six of carrots, and the eggs on top." ;;
    en1) echo "I think it runs better now, listen. No, wait, there it goes again. Well, the beans are for the school kitchen, and the leeks go next door." ;;
    de0) echo "Am Markt links, dann den Berg hinunter, und Vorsicht bei den Schienen. Drei Kilo Kartoffeln, zwei Bund Radieschen, und die Eier bitte obenauf." ;;
    de1) echo "Frischer Spargel, heute besonders günstig! Möchten Sie noch Petersilie dazu? Die Brücke ist gesperrt, also lieber hinten um die Kirche herum." ;;
    fr0) echo "À gauche au marché, puis tout droit jusqu'au pont. Deux kilos de tomates, une botte de poireaux, et un sac de pommes de terre, s'il vous plaît." ;;
    fr1) echo "Elles sont belles, mes courgettes ! Goûtez donc une cerise. La boulangerie est derrière la place, et les œufs, posez-les tout en haut." ;;
    es0) echo "En el mercado a la izquierda y luego cuesta abajo. Tres kilos de cebollas, dos lechugas y una caja de naranjas para la plaza, por favor." ;;
    es1) echo "Mire qué pimientos, recién cogidos esta mañana. ¿Le pongo también un poco de perejil? El colegio está cerrado, vuelva después de las cuatro." ;;
    it0) echo "Al mercato giri a sinistra, poi sempre dritto fino al ponte. Due chili di zucchine, un cavolo, e le uova mettiamole sopra, grazie." ;;
    it1) echo "Signora, guardi che pomodori! Gliene do un chilo e mezzo? La strada è bagnata, vada piano in discesa, e lasci i carciofi alla mensa." ;;
    nl0) echo "Bij de markt linksaf, dan de heuvel af, en let op de tramrails. Vijf kilo aardappelen, twee bossen wortels, en de eieren bovenop alstublieft." ;;
    nl1) echo "Lekkere verse spinazie, drie voor de prijs van twee! Wilt u er nog uien bij? De brug staat open, dus we wachten nog even aan de kade." ;;
    pl0) echo "Przy rynku w lewo, potem w dół ulicy i uwaga na szyny. Pięć kilo ziemniaków, dwa pęczki marchewki, a jajka proszę położyć na górze." ;;
    pl1) echo "Proszę spróbować tych śliwek, są bardzo słodkie. Kapusta dla stołówki już czeka. Most jest zamknięty, więc lepiej pojechać obok kościoła." ;;
    sv0) echo "Till vänster vid torget, sedan nerför backen, och akta spårvagnsspåren. Fem kilo potatis, två knippen morötter, och äggen överst, tack." ;;
    sv1) echo "Färska jordgubbar, plockade i morse! Vill ni ha lite dill också? Bron är stängd i dag, så vi får köra runt hamnen och sedan upp mot skolan." ;;
  esac
}

i=0
for language in en de fr es it nl pl sv; do
  for voice in m1 f1 m2 f2 m3 f3 m5 f5; do
    text=$(sentences "$language$((i % 4 / 2))")
    pitch=$((20 + i * 17 % 66))
    wordsPerMinute=$((125 + i * 23 % 90))
    espeak-ng -v "$language+$voice" -p "$pitch" -s "$wordsPerMinute" -w "$(printf '%s/talk-%02d.wav' "$out" "$i")" "$text"
    i=$((i + 1))
  done
done
