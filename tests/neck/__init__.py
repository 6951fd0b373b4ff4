"""Tests of lickwright.neck."""
