#!/usr/bin/env bash
# Installs Chromium from the system's packages, where that may be done, for the browser tests.
# Never downloads a browser from elsewhere and never fails: without it those tests are skipped.
set -u

say_skipped() {
  echo
  echo "  ****************************************************************************"
  echo "  No Chromium here ($1)."
  echo "  SKIPPED will be: tests/browser (the grower's day by touch and by keyboard,"
  echo "  phone and tablet, light and dark, the axe check of every page)."
  echo "  On Debian and Ubuntu: apt-get install chromium"
  echo "  ****************************************************************************"
  echo
  exit 0
}

for name in chromium chromium-browser google-chrome; do
  command -v "$name" >/dev/null 2>&1 && exit 0
done

command -v apt-get >/dev/null 2>&1 || say_skipped "and no apt-get to install it with"

run=()
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null || say_skipped "and neither root nor sudo without a password"
  run=(sudo -n)
fi

echo "Installing Chromium from the system's packages, for the browser tests ..."
export DEBIAN_FRONTEND=noninteractive
quietly() { timeout 600 "${run[@]}" "$@" >/dev/null 2>&1; }
quietly apt-get install -y --no-install-recommends chromium ||
  { quietly apt-get update && quietly apt-get install -y --no-install-recommends chromium; } ||
  say_skipped "and apt-get could not install it"
command -v chromium >/dev/null 2>&1 || say_skipped "though apt-get ended without a fault"
exit 0
