"""What needs a server is left out where none is installed and none is asked for."""

from server import is_wanted

collect_ignore = [] if is_wanted() else ["test_server.py"]
