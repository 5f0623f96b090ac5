"""Every sentence a person reads: a result of the engine in, plain text out, never wider than asked."""
