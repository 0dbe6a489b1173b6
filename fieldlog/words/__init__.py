"""Every sentence a person reads, made from codes and values; nothing below speaks English, nothing branches on it.

A module an area, a function a sentence: `said("finding.over", value=...)` is spoken by `finding.over(units, ...)`.
"""
