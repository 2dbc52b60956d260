"""The classroom: a class and its seats, answer files, and their marking.

A class is a short code and a number of seats. There are no names and no accounts.
"""
