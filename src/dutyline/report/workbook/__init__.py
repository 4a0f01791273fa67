"""The report as a workbook whose figures are worked out from its own cells."""
