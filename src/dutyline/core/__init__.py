"""What every stage needs: units, values, numbers as text, errors."""
