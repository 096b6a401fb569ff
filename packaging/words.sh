#!/bin/sh
# Gathers the texts of the window and of the rooms below it, and makes what the program reads
# from each translation:
#
#     sh packaging/words.sh             all languages there are
#     sh packaging/words.sh es          and Spanish, begun with nothing translated
#
# PYTHON names the interpreter where it is not .venv/bin/python; Babel is among the packages the
# program runs with.
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
python=${PYTHON:-$root/.venv/bin/python}
[ -x "$python" ] || python=python3
words=resources/translations
cd "$root"

babel() {
    "$python" -m babel.messages.frontend -q "$@"
}

# No places, no header and no date: the file changes only where a text does.
mkdir -p "$words"
babel extract --no-location --omit-header --sort-output -k _ -k ngettext:1,2 \
    -k worded -k worded_count:1,2 -o "$words/shimwright.pot" \
    estimator/desktop estimator/app.py estimator/domain estimator/services estimator/intake

for language in "$@"; do
    file=$words/$language/LC_MESSAGES/shimwright.po
    [ -e "$file" ] || babel init -l "$language" -i "$words/shimwright.pot" -o "$file"
done
for file in "$words"/*/LC_MESSAGES/shimwright.po; do
    [ -e "$file" ] || continue
    language=$(basename "$(dirname "$(dirname "$file")")")
    # A text that was reworded is translated anew: a guess from one like it is easily overlooked.
    babel update --no-fuzzy-matching --ignore-obsolete --ignore-pot-creation-date \
        -l "$language" -i "$words/shimwright.pot" -o "$file"
    babel compile -l "$language" -i "$file" -o "${file%.po}.mo"
done

# What documents print, in the same languages: labels, and texts of the domain that stand in print.
"$python" packaging/paper_words.py "$@"
