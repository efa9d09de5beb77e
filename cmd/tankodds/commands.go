package main

// commands lists what the tool does, in the order help shows it. Each is
// defined in a file of its own.
var commands = []*command{
	&sizeCommand,
	&replayCommand,
	&compareCommand,
	&synthCommand,
	&backtestCommand,
	&recordCommand,
	&newCommand,
	&pageCommand,
	&recheckCommand,
	&reportCommand,
	&citeCommand,
	&completionCommand,
	&manCommand,
}
