"""How gunicorn serves the site; `-b` names where."""

worker_class = "gthread"
workers = 2
threads = 4
preload_app = True
timeout = 60
graceful_timeout = 5
keepalive = 5
loglevel = "warning"
control_socket_disable = True
