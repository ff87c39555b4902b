"""Bad input and bad luck: damaged files, hostile names, full disks, killed runs, other places."""
