"""The person: tape numbers, what a population says of the missing ones, and the body made of both."""
