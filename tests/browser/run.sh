#!/bin/sh
# Runs one file of browser tests; 77 where what it needs is not there.
set -eu
cd "$(dirname "$0")"
command -v node >/dev/null || { echo "skipped: no node"; exit 77; }
[ -x /usr/bin/chromium ] || { echo "skipped: no /usr/bin/chromium"; exit 77; }
npm ls >/dev/null 2>&1 || { echo "skipped: npm ci --prefix tests/browser"; exit 77; }
exec node --test --test-reporter=spec "$1"
