"""Runs a program where there is no network but the loopback: `unshare --map-root-user --net python loopback.py PROGRAM ...`.

Brings the loopback up, makes sure that there is nothing else and no way out, and becomes the program.
"""
import errno
import fcntl
import os
import socket
import struct
import sys

SIOCGIFFLAGS, SIOCSIFFLAGS, UP = 0x8913, 0x8914, 1

others = [name for _, name in socket.if_nameindex() if name != "lo"]
if others:
    sys.exit(f"the network isn't cut: {', '.join(others)}")
with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
    flags = struct.unpack_from("16sh", fcntl.ioctl(asked, SIOCGIFFLAGS, struct.pack("16sh14x", b"lo", 0)))[1]
    fcntl.ioctl(asked, SIOCSIFFLAGS, struct.pack("16sh14x", b"lo", flags | UP))
    try:
        # An address for documents (RFC 5737), which nothing is sent to.
        asked.connect(("192.0.2.1", 9))
        sys.exit("the network isn't cut: there is a way out")
    except OSError as error:
        if error.errno != errno.ENETUNREACH:
            raise
os.execvp(sys.argv[1], sys.argv[1:])
