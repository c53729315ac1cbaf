#!/bin/sh
# Starts Rodhand. The book lies in the folder "book" beside this file.
here=$(cd "$(dirname "$0")" && pwd)
if [ ! -f "$here/program/start.py" ]; then
  echo "The folder \"program\" is missing beside this file. Unzip the bundle again, all of it."
  read -r _
  exit 3
fi
for each in {pythons}; do
  if "$each" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
    "$each" "$here/program/start.py" "$@" && exit 0
    echo "Press Enter to close."
    read -r _
    exit 3
  fi
done
echo "Rodhand needs Python 3.11 or newer. Install it, then start again."
echo "Press Enter to close."
read -r _
exit 3
