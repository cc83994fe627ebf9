#!/bin/sh
# Makes crates/picture/fonts/ and crates/picture/src/font_widths.rs from the full Source fonts.
# Needs npm, python3 with venv, and the npm and PyPI registries; the built program needs none of it.
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
npm init -y >/dev/null
npm install --silent @expo-google-fonts/source-sans-3@0.4.1 @expo-google-fonts/source-serif-4@0.4.1
python3 -m venv venv
venv/bin/pip install --quiet fonttools==4.68.0 brotli==1.2.1
venv/bin/python "$root/scripts/fonts.py" node_modules/@expo-google-fonts "$root/crates/picture"
