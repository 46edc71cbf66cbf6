#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# in-a-room.sh SCHEMAS COMMAND…
#
# Runs a program that needs a display in a clean room: a home of its own that is gone
# afterwards, a bus of its own, a screen that nobody sees, software rendering, settings in memory.
# SCHEMAS: the folder of the compiled settings schema, "" for none.  ROOM_SCREEN: the screen's
# size, 1280x900x24 by default.  ROOM_LANGUAGE: the language of texts, English by default.
set -eu
schemas=$1
shift

for tool in dbus-run-session xvfb-run; do
  command -v "$tool" >/dev/null || {
    echo "Bail out! $tool is missing: .ci/packages test installs it"
    exit 1
  }
done

room=$(mktemp -d)
trap 'rm -rf "$room"' EXIT
trap 'exit 1' HUP INT TERM
mkdir -p "$room/home" "$room/config" "$room/data" "$room/cache" "$room/state"
mkdir -m 700 "$room/run"

if [ -n "$schemas" ]; then
  export GSETTINGS_SCHEMA_DIR="$schemas"
else
  unset GSETTINGS_SCHEMA_DIR
fi
export HOME="$room/home" XDG_CONFIG_HOME="$room/config" XDG_DATA_HOME="$room/data" \
  XDG_CACHE_HOME="$room/cache" XDG_STATE_HOME="$room/state" XDG_RUNTIME_DIR="$room/run" \
  GDK_BACKEND=x11 GSETTINGS_BACKEND=memory LIBGL_ALWAYS_SOFTWARE=1 NO_AT_BRIDGE=0
unset DISPLAY WAYLAND_DISPLAY DBUS_SESSION_BUS_ADDRESS LANGUAGE
if [ -n "${ROOM_LANGUAGE:-}" ]; then
  export LANGUAGE="$ROOM_LANGUAGE"
fi

# What the servers and the services that they start say is of no use to a reader of test results;
# the program alone has the standard output.
status=0
exec 3>&1
dbus-run-session -- sh -c 'exec "$@" >&3 3>&-' room xvfb-run -a -e "$room/xvfb.log" \
  -s "-screen 0 ${ROOM_SCREEN:-1280x900x24} -nolisten tcp" "$@" >&2 || status=$?
exit "$status"
