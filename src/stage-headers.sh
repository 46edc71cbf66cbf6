#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# stage-headers.sh SOURCE STAGE FOLDER…
#
# Lays out STAGE as an include root that shows only the named folders of SOURCE.  A folder that
# lies in another named one is shown with it.
set -eu
source=$1 stage=$2
shift 2
rm -rf "$stage"
for folder in "$@"; do
  # Seen through a folder around it already?
  [ "$(readlink -f "$stage/$folder")" = "$(readlink -f "$source/$folder")" ] && continue
  rm -rf "$stage/$folder"
  mkdir -p "$stage/$(dirname "$folder")"
  ln -s "$source/$folder" "$stage/$folder"
done
