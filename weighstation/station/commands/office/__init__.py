"""A journal and a shop's files -> what is read in the office: a day as it stands, the set-up."""
