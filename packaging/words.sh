#!/bin/sh
# Gathers the window's texts, and makes what the program reads from each translation:
#
#     sh packaging/words.sh
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
babel="$root/.venv/bin/python -m babel.messages.frontend"
[ -x "$root/.venv/bin/python" ] || babel="python3 -m babel.messages.frontend"
words=$root/resources/translations
cd "$root"

$babel -q extract --no-location --omit-header --sort-output -k _ -k ngettext:1,2 \
    -o "$words/shimwright.pot" estimator/desktop estimator/app.py
for file in "$words"/*/LC_MESSAGES/shimwright.po; do
    [ -e "$file" ] || continue
    language=$(basename "$(dirname "$(dirname "$file")")")
    $babel -q update --no-fuzzy-matching --ignore-obsolete -l "$language" \
        -i "$words/shimwright.pot" -o "$file"
    $babel -q compile -l "$language" -i "$file" -o "${file%.po}.mo"
done
