#!/bin/sh
# Starts Rodhand for the phones and tablets on this machine's own network too, with a key.
exec sh "$(dirname "$0")/../Start-Rodhand-Linux.sh" --network
