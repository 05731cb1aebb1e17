"""Worth lifting?"""
