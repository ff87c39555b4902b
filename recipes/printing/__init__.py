"""What is printed at true size: the paper, and pages of paper parts."""
