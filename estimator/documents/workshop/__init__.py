"""Papers of the workshop: parts list, outwork request, job card, cost sheet."""
