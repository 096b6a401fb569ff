"""The finish date: working time, the network of activities, and how far it may run on."""
